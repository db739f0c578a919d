'use client';

import { type FormEvent, useRef, useState } from 'react';
import type { BandMade } from '../../lib/protocol';
import { type ApiProblem, ask } from '../hooks/api';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { ProblemNotice } from '../ui/Notice';
import { MadeBand } from './MadeBand';

/** Makes a band and its first player, then hands over the private links, which are shown this once. */
export function MakeBand() {
  const [name, setName] = useState('');
  const [you, setYou] = useState('');
  const [asked, setAsked] = useState(false);
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const [made, setMade] = useState<BandMade | null>(null);
  const nameField = useRef<HTMLInputElement>(null);
  const youField = useRef<HTMLInputElement>(null);

  const make = async (event: FormEvent) => {
    event.preventDefault();
    setAsked(true);
    if (name.trim() === '') return nameField.current?.focus();
    if (you.trim() === '') return youField.current?.focus();
    setBusy(true);
    setProblem(null);
    const answer = await ask('/api/bands', 'bandMade', { name: name.trim(), yourName: you.trim() });
    setBusy(false);
    if (answer.ok) setMade(answer.value);
    else setProblem(answer.error);
  };

  if (made) return <MadeBand made={made} name={name.trim()} you="" />;
  return (
    <form onSubmit={make} noValidate>
      <Field
        ref={nameField}
        label="Name of the band"
        value={name}
        onChange={setName}
        most={120}
        problem={asked && name.trim() === '' ? 'Write the name of the band first; it can be changed.' : null}
      />
      <Field
        ref={youField}
        label="Your name"
        value={you}
        onChange={setYou}
        most={80}
        autoComplete="name"
        hint="As your bandmates call you."
        problem={asked && you.trim() === '' ? 'Write your name, so that the others see who did what.' : null}
      />
      {problem && <ProblemNotice problem={problem} kept="what you typed is still here" />}
      <Button submit look="main" disabled={busy} shortcut="Enter">
        {busy ? 'Making it …' : 'Make the band'}
      </Button>
    </form>
  );
}
