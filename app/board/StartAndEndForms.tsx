'use client';

import { useId, useState } from 'react';
import type { SongEdits } from '../../lib/document';
import { type Band, DEFAULT_TEMPO, ENDING_KINDS, type Song } from '../../lib/song';
import { Field } from '../ui/Field';
import { SELECT } from './SettingRow';

interface Props {
  readonly song: Song;
  readonly band: Band;
  readonly edits: SongEdits | null;
}

/** Where it is said who starts, with what, who counts, and how fast. */
export function StartForm({ song, band, edits }: Props) {
  const { start } = song;
  return (
    <>
      <Who
        label="Starts"
        band={band}
        value={start.playerId}
        onChange={(playerId) => edits?.setStart({ playerId })}
      />
      <Said
        label="With what"
        value={start.with}
        most={200}
        onKeep={(text) => edits?.setStart({ with: text }) ?? null}
      />
      <Who
        label="Counts"
        band={band}
        value={start.counts}
        onChange={(counts) => edits?.setStart({ counts })}
      />
      <Said
        label="Count-in, quarter notes a minute"
        hint={`Empty: as the song, ${Math.round(song.tempo ?? DEFAULT_TEMPO)}.`}
        kind="number"
        value={start.tempo === null ? '' : String(start.tempo)}
        most={5}
        onKeep={(text) => edits?.setStart({ tempo: text === '' ? null : Number(text) }) ?? null}
      />
    </>
  );
}

/** Where it is said how the song ends, and on whose signal. */
export function EndForm({ song, band, edits }: Props) {
  const { ending } = song;
  const id = useId();
  return (
    <>
      <label htmlFor={id} className="plain my-2 font-semibold">
        Ends with
        <select
          id={id}
          className={`${SELECT} block font-normal`}
          value={ending.kind ?? ''}
          onChange={(event) =>
            edits?.setEnding({ kind: ENDING_KINDS.find((kind) => kind === event.target.value) ?? null })
          }
        >
          <option value="">not said</option>
          {ENDING_KINDS.map((kind) => (
            <option key={kind}>{kind}</option>
          ))}
        </select>
      </label>
      <Who
        label="On whose signal"
        band={band}
        value={ending.signalBy}
        onChange={(signalBy) => edits?.setEnding({ signalBy })}
      />
      <Said
        label="A word on it"
        value={ending.note}
        most={500}
        onKeep={(note) => edits?.setEnding({ note }) ?? null}
      />
    </>
  );
}

function Who({
  label,
  band,
  value,
  onChange,
}: {
  readonly label: string;
  readonly band: Band;
  readonly value: string | null;
  readonly onChange: (playerId: string | null) => void;
}) {
  const id = useId();
  const isGone = value !== null && !band.players.some((player) => player.id === value);
  return (
    <label htmlFor={id} className="plain my-2 font-semibold">
      {label}
      <select
        id={id}
        className={`${SELECT} block font-normal`}
        value={value ?? ''}
        onChange={(event) => onChange(event.target.value === '' ? null : event.target.value)}
      >
        <option value="">not said</option>
        {isGone && <option value={value}>somebody who has left</option>}
        {band.players.map((player) => (
          <option key={player.id} value={player.id}>
            {player.name}
          </option>
        ))}
      </select>
    </label>
  );
}

/** A few words, kept with Enter and when one goes on to the next field. */
function Said({
  label,
  hint,
  kind = 'text',
  value,
  most,
  onKeep,
}: {
  readonly label: string;
  readonly hint?: string;
  readonly kind?: 'text' | 'number';
  readonly value: string;
  readonly most: number;
  readonly onKeep: (text: string) => ReturnType<SongEdits['setStart']> | null;
}) {
  const [draft, setDraft] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const keep = () => {
    if (draft === null || draft.trim() === value) return setDraft(null);
    const done = onKeep(draft.trim());
    setProblem(done && !done.ok ? `${done.error.what}: ${done.error.mend}` : null);
    if (done?.ok) setDraft(null);
  };
  return (
    <form
      className="my-2"
      onBlur={keep}
      onSubmit={(event) => {
        event.preventDefault();
        keep();
      }}
    >
      <Field
        label={label}
        hint={hint}
        kind={kind}
        value={draft ?? value}
        onChange={setDraft}
        most={most}
        problem={problem}
      />
    </form>
  );
}
