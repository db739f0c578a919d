'use client';

import { type FormEvent, useRef, useState } from 'react';
import { INSTRUMENTS, type InstrumentName } from '../../lib/instruments';
import type { Player } from '../../lib/song';
import { Button } from '../ui/Button';
import { Choice, Choices, Field } from '../ui/Field';
import { INKS, initialsFor, RULES, SINGS } from './words';

/** Fewest and most eighth notes a minute that a player may say they play with ease. */
const EIGHTHS = { least: 20, most: 2000 } as const;

/** Who a player is and what they play. `onKeep` gets the whole player; it is one edit. */
export function PlayerForm({
  player,
  others,
  keepText,
  busy = false,
  onKeep,
  onCancel,
  isMe = false,
}: {
  readonly player: Player;
  readonly others: readonly Player[];
  readonly keepText: string;
  readonly busy?: boolean;
  readonly onKeep: (player: Player) => void;
  readonly onCancel: () => void;
  /** The person at this page fills in their own. */
  readonly isMe?: boolean;
}) {
  const [name, setName] = useState(player.name);
  const [initials, setInitials] = useState(player.initials);
  const [ownInitials, setOwnInitials] = useState(player.initials !== '');
  const [instruments, setInstruments] = useState(player.instruments);
  const [sings, setSings] = useState(player.sings);
  const [rule, setRule] = useState(player.rule);
  const [ink, setInk] = useState(player.ink);
  const [comfort, setComfort] = useState(player.comfortEighthsPerMinute?.toString() ?? '');
  const [asked, setAsked] = useState(false);
  const nameField = useRef<HTMLInputElement>(null);
  const initialsField = useRef<HTMLInputElement>(null);
  const comfortField = useRef<HTMLInputElement>(null);

  const taken = others.map((other) => other.initials);
  const shown = ownInitials ? initials : initialsFor(name, taken);
  const eighths = comfort.trim() === '' ? null : Number(comfort);
  const comfortProblem =
    eighths === null || (Number.isFinite(eighths) && eighths >= EIGHTHS.least && eighths <= EIGHTHS.most)
      ? null
      : `Write a number from ${EIGHTHS.least} to ${EIGHTHS.most}, or nothing.`;
  const nameProblem = name.trim() === '' ? 'Write a name first.' : null;
  const initialsProblem = shown.trim() === '' ? 'Write one to four signs.' : null;
  const shared = others.find((other) => other.initials === shown.trim());

  const keep = (event: FormEvent) => {
    event.preventDefault();
    setAsked(true);
    if (nameProblem) return nameField.current?.focus();
    if (initialsProblem) return initialsField.current?.focus();
    if (comfortProblem) return comfortField.current?.focus();
    onKeep({
      ...player,
      name: name.trim(),
      initials: shown.trim(),
      instruments,
      sings,
      rule,
      ink,
      comfortEighthsPerMinute: eighths,
    });
  };

  return (
    <form onSubmit={keep} noValidate className="my-2 border-l border-faint pl-4">
      <Field
        ref={nameField}
        label={isMe ? 'Your name' : 'Name'}
        value={name}
        onChange={setName}
        most={80}
        autoFocus
        problem={asked ? nameProblem : null}
      />
      <Field
        ref={initialsField}
        label="Initials"
        value={shown}
        onChange={(text) => {
          setOwnInitials(true);
          setInitials(text);
        }}
        most={4}
        hint={
          shared
            ? `${shared.name} has the same; other initials tell you apart on the page.`
            : 'They stand before what this player plays, as a pencil mark in the margin.'
        }
        problem={asked ? initialsProblem : null}
      />
      <Choices<InstrumentName>
        label="Plays"
        values={instruments}
        options={INSTRUMENTS}
        onChange={setInstruments}
        hint={
          instruments.length > 1
            ? `In this order: ${instruments.join(', ')}. The first is the main one.`
            : 'The one chosen first is the main one.'
        }
      />
      <Choice label="Sings" value={sings} options={SINGS} onChange={setSings} />
      <details className="my-2">
        <summary className="plain flex min-h-(--touch) items-center underline decoration-edge underline-offset-4">
          How {isMe ? 'you play' : 'they play'}: strokes, speed, ink
        </summary>
        <Choice
          label="The pick’s stroke goes"
          value={rule}
          options={RULES}
          onChange={setRule}
          hint="Toward the next string: down if it lies nearer the floor, up if nearer the ceiling. Both ways are right. For flat-pick players only."
        />
        <Field
          ref={comfortField}
          label="Eighth notes a minute played with ease"
          kind="number"
          value={comfort}
          onChange={setComfort}
          most={5}
          hint="A song of 100 quarter notes a minute has 200 of them. Leave it empty if you would rather not say."
          problem={comfortProblem}
        />
        <Choice
          label="Ink"
          value={String(ink)}
          options={INKS.map((text, i) => ({ value: String(i), text }))}
          onChange={(value) => setInk(Number(value))}
        />
      </details>
      <div className="flex flex-wrap gap-x-8">
        <Button submit look="main" disabled={busy} shortcut="Enter">
          {busy ? 'Keeping it …' : keepText}
        </Button>
        <Button onPress={onCancel} shortcut="Escape">
          Leave it as it was
        </Button>
      </div>
    </form>
  );
}
