'use client';

import { useId, useState } from 'react';
import type { SetList, SongPair } from '../../lib/song';
import { Button } from '../ui/Button';
import type { EntryEdits } from './edits';

const WANTED: readonly (readonly [SongPair['wanted'], string])[] = [
  ['near', 'next to'],
  ['apart', 'not next to'],
];

/** The songs that one is wanted next to, or not. They hold for the set, and an order keeps to them where it can. */
export function Neighbours({
  songId,
  set,
  titleOf,
  onPair,
}: {
  readonly songId: string;
  readonly set: SetList;
  readonly titleOf: (songId: string) => string;
  readonly onPair: EntryEdits['pair'];
}) {
  const id = useId();
  const [other, setOther] = useState('');
  const said = set.pairs.flatMap(({ songs, wanted }) => {
    const beside = songs.find((each) => each !== songId);
    return songs.includes(songId) && beside !== undefined ? [{ beside, wanted }] : [];
  });
  const others = [...new Set(set.entries.map((entry) => entry.songId))].filter(
    (each) => each !== songId && !said.some(({ beside }) => beside === each),
  );
  const chosen = others.includes(other) ? other : '';
  if (others.length === 0 && said.length === 0) return null;
  return (
    <div className="flex flex-wrap items-baseline gap-x-6">
      {said.map(({ beside, wanted }) => (
        <Button
          key={beside}
          pressed
          label={`Wanted ${wanted === 'near' ? 'next to' : 'not next to'} ${titleOf(beside)}: take it back`}
          onPress={() => onPair([songId, beside], null)}
        >
          {wanted === 'near' ? 'next to' : 'not next to'} {titleOf(beside)}
        </Button>
      ))}
      {others.length > 0 && (
        <>
          <label htmlFor={id} className="plain flex items-center gap-2">
            and
            <select
              id={id}
              aria-label="Another song of the set"
              className="min-h-(--touch) max-w-48 border-0 border-edge border-b bg-transparent"
              value={chosen}
              onChange={({ target }) => setOther(target.value)}
            >
              <option value="">another song</option>
              {others.map((each) => (
                <option key={each} value={each}>
                  {titleOf(each)}
                </option>
              ))}
            </select>
          </label>
          {WANTED.map(([wanted, words]) => (
            <Button
              key={wanted}
              disabled={chosen === ''}
              onPress={() => {
                if (onPair([songId, chosen], wanted)) setOther('');
              }}
            >
              wanted {words} each other
            </Button>
          ))}
        </>
      )}
    </div>
  );
}
