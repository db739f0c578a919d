'use client';

import { useMemo, useState } from 'react';
import type { SongEdits } from '../../lib/document';
import {
  changeKey,
  type Extent,
  type KeyChange,
  keysForSinger,
  type PlayerInKey,
  tuneExtent,
  writesOf,
} from '../../lib/keys';
import type { Band, PitchRange, Song } from '../../lib/song';
import { keyName, transposeKey } from '../../lib/theory';
import { Button } from '../ui/Button';
import { SELECT } from './SettingRow';

/** Semitones to every other key: the nearer way. */
const STEPS = [-5, -4, -3, -2, -1, 1, 2, 3, 4, 5, 6] as const;

/** 'In B tonight': what a song in another key asks of each player, with reasons, and the way there in one step. */
export function AnotherKey({
  song,
  band,
  edits,
  onDone,
}: {
  readonly song: Song;
  readonly band: Band;
  readonly edits: SongEdits;
  readonly onDone: () => void;
}) {
  const [singerId, setSingerId] = useState(leadSinger(song) ?? '');
  const sung = band.players.find(({ id }) => id === singerId)?.range ?? null;
  const range = useMemo(() => extentOf(sung), [sung]);
  // Where no tune is written, the singer's own word for this song.
  const tune = useMemo(
    () => tuneExtent(song) ?? extentOf(song.voices.find((voice) => voice.range !== null)?.range ?? null),
    [song],
  );
  const fitting = useMemo(() => {
    const keys = keysForSinger(song.key, tune, range);
    return keys.ok ? keys.value.filter(({ fits }) => fits).map(({ key }) => keyName(key)) : null;
  }, [song.key, tune, range]);
  const [step, setStep] = useState<number>(2);
  const [problem, setProblem] = useState<string | null>(null);
  const key = transposeKey(song.key, step);
  const change = useMemo(() => changed(song, band, key, range, tune), [song, band, key, range, tune]);

  const move = () => {
    if (!change.ok) return;
    const done = edits.moveToKey(writesOf(change.value));
    if (done.ok) onDone();
    else setProblem(`${done.error.what}: ${done.error.mend}`);
  };
  return (
    <section aria-label="In another key" className="no-print my-2 border-faint border-y py-2">
      <div className="flex flex-wrap items-end gap-x-8">
        <label className="plain my-2 font-semibold">
          Tonight in
          <select
            className={`${SELECT} block font-normal`}
            value={step}
            onChange={({ target }) => setStep(Number(target.value))}
          >
            {STEPS.map((each) => (
              <option key={each} value={each}>
                {keyName(transposeKey(song.key, each))}
                {fitting?.includes(keyName(transposeKey(song.key, each))) ? ', suits the voice' : ''}
              </option>
            ))}
          </select>
        </label>
        <label className="plain my-2 font-semibold">
          Who sings
          <select
            className={`${SELECT} block font-normal`}
            value={singerId}
            onChange={({ target }) => setSingerId(target.value)}
          >
            <option value="">a guest</option>
            {band.players.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
      </div>
      {fitting ? (
        <p className="aside">
          {fitting.length > 0
            ? `Best for the voice: ${fitting.slice(0, 4).join(', ')}.`
            : 'No key suits the whole voice.'}
        </p>
      ) : (
        <p className="aside">Say a singer’s lowest and highest note, and the keys that suit are marked.</p>
      )}
      {change.ok ? (
        <Asked change={change.value} band={band} />
      ) : (
        <p role="alert" className="plain text-accent">
          {change.error.what}: {change.error.mend}
        </p>
      )}
      {problem && (
        <p role="alert" className="plain text-accent">
          {problem}
        </p>
      )}
      <div className="mt-2 flex flex-wrap gap-x-6">
        <Button look="main" onPress={move} disabled={!change.ok}>
          Play it in {keyName(key)}
        </Button>
        <Button shortcut="Escape" onPress={onDone}>
          Leave it in {keyName(song.key)}
        </Button>
      </div>
    </section>
  );
}

function Asked({ change, band }: { readonly change: KeyChange; readonly band: Band }) {
  const nameOf = (id: string) => band.players.find((player) => player.id === id)?.name ?? id;
  return (
    <>
      <ul>
        {change.players.map((player) => (
          <li key={player.playerId}>
            {nameOf(player.playerId)}, {player.instrument}: {setupSaid(player)}{' '}
            <span className="aside">{player.reasons.map(({ detail }) => detail).join('; ')}</span>
          </li>
        ))}
      </ul>
      {change.cautions.map((caution) => (
        <p key={caution} className="aside">
          Note: {caution}.
        </p>
      ))}
    </>
  );
}

function setupSaid({ instrument, after, shapes }: PlayerInKey): string {
  if (after.capo === 0 && instrument !== 'banjo') return `in ${keyName(shapes)}, no capo.`;
  const capo = after.capo === 0 ? 'no capo' : `capo ${after.capo}`;
  const up = after.fifthCapo ?? after.capo;
  const fifth = up === 0 ? '' : `, fifth string up ${up} ${up === 1 ? 'fret' : 'frets'}`;
  return `${capo}, ${keyName(shapes)} shapes${instrument === 'banjo' ? fifth : ''}.`;
}

function extentOf(range: PitchRange | null): Extent | null {
  return range && { lowest: range.low, highest: range.high };
}

function leadSinger(song: Song): string | null {
  return song.voices.find(({ part }) => part === 'lead')?.playerId ?? null;
}

function changed(song: Song, band: Band, key: Song['key'], range: Extent | null, tune: Extent | null) {
  const options = { ...(range ? { range } : {}), ...(tune ? { tune } : {}) };
  return changeKey(song, band.players, key, options);
}
