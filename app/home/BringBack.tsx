'use client';

import { useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import { Button } from '../ui/Button';
import { ProblemNotice } from '../ui/Notice';
import type { FromFile } from './band-from-file';
import { MadeBand } from './MadeBand';

/** Makes a band anew from the file that somebody took along. */
export function BringBack() {
  const chooser = useRef<HTMLInputElement>(null);
  const [busy, setBusy] = useState<string | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [done, setDone] = useState<FromFile | null>(null);

  const take = async (file: File | undefined) => {
    if (!file) return;
    setBusy(file.name);
    setProblem(null);
    const { bandFromFile } = await import('./band-from-file');
    const result = await bandFromFile(file);
    setBusy(null);
    if (result.ok) setDone(result.value);
    else setProblem(result.error);
  };

  if (done)
    return <MadeBand made={done.made} name={done.name} you=": say there which of its players you are" />;
  return (
    <>
      <p className="mt-8 max-w-prose">
        Or bring a band back from its file (.breathmark.json), as it was taken along on its page: it becomes a
        new band with the same players, songs and set lists. A band that is here already stays as it is.
      </p>
      <input
        ref={chooser}
        type="file"
        accept=".json,application/json"
        className="sr-only"
        tabIndex={-1}
        aria-label="Band file"
        onChange={(event) => {
          const [file] = event.target.files ?? [];
          void take(file);
          event.target.value = '';
        }}
      />
      <Button shortcut="f" disabled={busy !== null} onPress={() => chooser.current?.click()}>
        Choose a band file
      </Button>
      <p role="status" className="aside min-h-5">
        {busy !== null && `Making the band from ${busy} …`}
      </p>
      {problem && <ProblemNotice problem={problem} kept="no band was made, and nothing else was changed" />}
    </>
  );
}
