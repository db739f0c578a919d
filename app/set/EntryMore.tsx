'use client';

import { useEffect, useId, useState } from 'react';
import type { SetSong } from '../../lib/sets';
import type { SetEntry } from '../../lib/song';
import { Button } from '../ui/Button';
import type { EntryEdits } from './edits';

const ENERGIES = [1, 2, 3, 4, 5] as const;

/** What is said more seldom of a song in a set: talk, a break after it, no stop before the next, how strong it is. */
export function EntryMore({
  entry,
  song,
  isLast,
  edits,
}: {
  readonly entry: SetEntry;
  readonly song: SetSong;
  readonly isLast: boolean;
  readonly edits: EntryEdits;
}) {
  const id = useId();
  return (
    <div className="flex flex-wrap items-baseline gap-x-6 pl-4">
      <TalkField seconds={entry.talkSeconds} onKeep={(talkSeconds) => edits.set(entry.id, { talkSeconds })} />
      <label htmlFor={id} className="plain flex items-center gap-2">
        how strong
        <select
          id={id}
          className="min-h-(--touch) border-0 border-edge border-b bg-transparent"
          value={song.energy ?? ''}
          onChange={({ target }) =>
            edits.energy(entry.songId, target.value === '' ? null : Number(target.value))
          }
        >
          <option value="">not said</option>
          {ENERGIES.map((energy) => (
            <option key={energy} value={energy}>
              {energy === 1 ? '1, quiet' : energy === 5 ? '5, strong' : energy}
            </option>
          ))}
        </select>
      </label>
      {!isLast && (
        <>
          <Button
            pressed={entry.linkBars !== null}
            onPress={() => edits.set(entry.id, { linkBars: entry.linkBars === null ? 0 : null })}
          >
            straight into the next
          </Button>
          <Button
            pressed={entry.breakAfter}
            onPress={() => edits.set(entry.id, { breakAfter: !entry.breakAfter })}
          >
            a break after it
          </Button>
        </>
      )}
    </div>
  );
}

function TalkField({
  seconds,
  onKeep,
}: {
  readonly seconds: number;
  readonly onKeep: (seconds: number) => void;
}) {
  const id = useId();
  const [draft, setDraft] = useState(String(seconds));
  useEffect(() => setDraft(String(seconds)), [seconds]);
  const keep = () => {
    const talk = Number(draft);
    if (draft.trim() !== '' && talk >= 0 && talk <= 3600) {
      if (talk !== seconds) onKeep(talk);
    } else setDraft(String(seconds));
  };
  return (
    <label htmlFor={id} className="plain flex items-center gap-2">
      talk before it
      <input
        id={id}
        inputMode="numeric"
        className="min-h-(--touch) w-16 border-0 border-edge border-b bg-transparent px-1 tabular-nums"
        value={draft}
        onChange={({ target }) => setDraft(target.value)}
        onBlur={keep}
        onKeyDown={({ key }) => key === 'Enter' && keep()}
      />
      seconds
    </label>
  );
}
