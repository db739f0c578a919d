'use client';

import { useEffect, useMemo, useRef, useState } from 'react';
import type { SongEdits } from '../../lib/document';
import type { InstrumentName } from '../../lib/instruments';
import type { Band, Player, Song } from '../../lib/song';
import type { Substitute, SubstituteRequest } from '../../lib/substitutes';
import { Button } from '../ui/Button';
import { SELECT } from './SettingRow';
import { useSubstitute } from './useSubstitute';

/** A substitute: who is away, who plays instead, and on what; what becomes of it, looked over first and then done in one step. */
export function SomebodyElse({
  song,
  band,
  edits,
  onDone,
}: {
  readonly song: Song;
  readonly band: Band;
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
      <div className="flex flex-wrap gap-x-6">
        <Button
          look="main"
          shortcut="mod+Enter"
          onPress={take}
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

/** What becomes of it, what does not go first of all. */
function Becomes({
  substitute,
  from,
  to,
}: {
  readonly substitute: Substitute;
  readonly from: Player;
  readonly to: Player;
}) {
  const { kept, anew, left, cautions, isNothing, writes } = substitute;
  if (isNothing) return <p className="aside">{from.name} has nothing in this song.</p>;
  const { instrument, capo, tuning } = writes.setting;
  const setup = [
    ...(capo > 0 ? [`capo ${capo}`] : []),
    ...(tuning === 'standard' ? [] : [`tuned ${tuning}`]),
  ];
  const said = [
    `${to.name} on ${[instrument, ...setup].join(', ')}.`,
    ...(kept > 0 ? [keptInWords(kept)] : []),
    ...(anew.length > 0 ? [`${count(anew.length, 'fill')} worked out anew.`] : []),
    left.length === 0 ? 'All of it goes.' : 'This does not go:',
  ];
  return (
    <>
      <p>{said.join(' ')}</p>
      <Sentences of={left} />
      {cautions.length > 0 && <p>Then look at:</p>}
      <Sentences of={cautions} />
      {anew.length > 0 && (
        <details>
          <summary className="plain min-h-(--touch) cursor-pointer py-2">What is worked out anew</summary>
          <Sentences of={anew} />
        </details>
      )}
    </>
  );
}

function Sentences({ of }: { readonly of: readonly string[] }) {
  if (of.length === 0) return null;
  return (
    <ul>
      {of.map((each) => (
        <li key={each} className="aside">
          {each.charAt(0).toUpperCase()}
          {each.slice(1)}.
        </li>
      ))}
    </ul>
  );
}

const count = (many: number, what: string): string => (many === 1 ? `One ${what}` : `${many} ${what}s`);
const keptInWords = (kept: number): string =>
  `${count(kept, 'place')} ${kept === 1 ? 'stays' : 'stay'} as ${kept === 1 ? 'it is' : 'they are'}.`;
