'use client';

import { useEffect, useMemo, useRef, useState } from 'react';
import type { SongEdits } from '../../lib/document';
import type { InstrumentName } from '../../lib/instruments';
import { type Band, type Player, type Song, wordOnStandingIn } from '../../lib/song';
import type { SubstituteRequest } from '../../lib/substitutes';
import { Button } from '../ui/Button';
import { Becomes } from './Becomes';
import { SELECT } from './SettingRow';
import { useAsking } from './useAsking';
import { useSubstitute } from './useSubstitute';

/** A substitute: who is away, who plays instead, and on what; what becomes of it, looked over first and then done in one step. */
export function SomebodyElse({
  song,
  band,
  you,
  edits,
  onDone,
}: {
  readonly song: Song;
  readonly band: Band;
  /** The player at this page; null: not said. */
  readonly you: string | null;
  readonly edits: SongEdits;
  readonly onDone: (said: string) => void;
}) {
  const { players } = band;
  const [fromId, setFrom] = useState('');
  const [toId, setTo] = useState('');
  const [instrument, setInstrument] = useState<InstrumentName | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const from = players.find(({ id }) => id === fromId) ?? null;
  const to = players.find(({ id }) => id === toId && id !== fromId) ?? null;
  const request = useMemo(
    (): SubstituteRequest | null =>
      fromId === '' || toId === '' || fromId === toId
        ? null
        : { song, players, fromId, toId, ...(instrument ? { instrument } : {}) },
    [song, players, fromId, toId, instrument],
  );
  const answer = useSubstitute(request);
  const substitute = answer?.ok ? answer.value : null;
  const asking = useAsking(you);
  const first = useRef<HTMLSelectElement>(null);
  // Its key works from anywhere on the board: the keys go to the first thing that is asked.
  useEffect(() => first.current?.focus(), []);

  const take = () => {
    if (!substitute || !from || !to) return;
    const done = edits.substitute(substitute.writes);
    if (!done.ok) return setProblem(`${done.error.what}: ${done.error.mend}`);
    onDone(`${to.name} has all that ${from.name} had in this song. One undo gives it back.`);
  };
  const others = players.filter(({ id }) => id !== fromId);
  return (
    <section aria-label="Somebody else plays it" className="no-print my-2 border-faint border-y py-2">
      <div className="flex flex-wrap items-end gap-x-8">
        <label className="plain my-2 font-semibold">
          Who is away
          <select
            ref={first}
            className={`${SELECT} block font-normal`}
            value={fromId}
            onChange={({ target }) => setFrom(target.value)}
          >
            <option value="">choose</option>
            <Names players={players} />
          </select>
        </label>
        <label className="plain my-2 font-semibold">
          Who plays instead
          <select
            className={`${SELECT} block font-normal`}
            value={to ? toId : ''}
            onChange={({ target }) => {
              setTo(target.value);
              setInstrument(null);
            }}
          >
            <option value="">choose</option>
            <Names players={others} />
          </select>
        </label>
        {to && to.instruments.length > 1 && (
          <label className="plain my-2 font-semibold">
            On
            <select
              className={`${SELECT} block font-normal`}
              value={instrument ?? substitute?.writes.setting.instrument ?? ''}
              onChange={({ target }) =>
                setInstrument(to.instruments.find((one) => one === target.value) ?? null)
              }
            >
              {to.instruments.map((name) => (
                <option key={name}>{name}</option>
              ))}
            </select>
          </label>
        )}
      </div>
      <div role="status">
        {request === null && (
          <p className="aside">
            Everything of one player’s in this song goes to another: what they do and sing, their fills, who
            starts and who gives the signal. Who is not in the band yet is added there first.
          </p>
        )}
        {request !== null && answer === undefined && <p className="aside">Working it out…</p>}
        {substitute && from && to && <Becomes substitute={substitute} from={from} to={to} />}
      </div>
      {(problem !== null || (answer && !answer.ok)) && (
        <p role="alert" className="plain text-accent">
          {problem ?? (answer && !answer.ok ? `${answer.error.what}: ${answer.error.mend}` : '')}
        </p>
      )}
      {asking.question}
      <div className="flex flex-wrap gap-x-6">
        <Button
          look="main"
          shortcut="mod+Enter"
          onPress={() => asking.withWord(wordOnStandingIn(band, fromId), take, null)}
          disabled={substitute === null || substitute.isNothing}
        >
          {to ? `${to.name} plays it` : 'Hand it over'}
        </Button>
        <Button shortcut="Escape" onPress={() => onDone('')}>
          {from ? `Leave it with ${from.name}` : 'Leave it as it is'}
        </Button>
      </div>
    </section>
  );
}

function Names({ players }: { readonly players: readonly Player[] }) {
  return players.map(({ id, name }) => (
    <option key={id} value={id}>
      {name}
    </option>
  ));
}
