'use client';

import { useId } from 'react';
import type { SetEntry, SetList } from '../../lib/song';
import { Button } from '../ui/Button';
import type { EntryEdits } from './edits';
import { KeptField } from './KeptField';
import { Neighbours } from './Neighbours';

const ENERGIES = [1, 2, 3, 4, 5] as const;
/** What a document holds at most. */
const MOST_TALK = 3600;
const MOST_LINK = 64;

/** What is said more seldom of a song in a set: talk, how strong it is, a break after it, no stop before the next, what it stands beside. */
export function EntryMore({
  entry,
  set,
  energy,
  isLast,
  titleOf,
  edits,
}: {
  readonly entry: SetEntry;
  readonly set: SetList;
  readonly energy: number | null;
  readonly isLast: boolean;
  /** By the song's id. */
  readonly titleOf: (songId: string) => string;
  readonly edits: EntryEdits;
}) {
  const id = useId();
  const keepNumber = (text: string, most: number, field: 'talkSeconds' | 'linkBars'): boolean => {
    const number = Number(text);
    const isWhole = field === 'talkSeconds' || Number.isInteger(number);
    if (text === '' || !isWhole || !(number >= 0 && number <= most)) return false;
    return edits.set(entry.id, { [field]: number });
  };
  return (
    <div className="pl-4">
      <div className="flex flex-wrap items-baseline gap-x-6">
        <KeptField
          before="talk before it"
          after="seconds"
          width="w-16"
          most={6}
          figures
          value={String(entry.talkSeconds)}
          onKeep={(text) => keepNumber(text, MOST_TALK, 'talkSeconds')}
        />
        <label htmlFor={id} className="plain flex items-center gap-2">
          how strong
          <select
            id={id}
            className="min-h-(--touch) border-0 border-edge border-b bg-transparent"
            value={energy ?? ''}
            onChange={({ target }) =>
              edits.energy(entry.songId, target.value === '' ? null : Number(target.value))
            }
          >
            <option value="">not said</option>
            {ENERGIES.map((each) => (
              <option key={each} value={each}>
                {each === 1 ? '1, quiet' : each === 5 ? '5, strong' : each}
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
            {entry.linkBars !== null && (
              <KeptField
                before="by"
                after="link bars"
                width="w-12"
                most={3}
                figures
                value={String(entry.linkBars)}
                onKeep={(text) => keepNumber(text, MOST_LINK, 'linkBars')}
              />
            )}
            <Button
              pressed={entry.breakAfter}
              onPress={() => edits.set(entry.id, { breakAfter: !entry.breakAfter })}
            >
              a break after it
            </Button>
          </>
        )}
      </div>
      <Neighbours songId={entry.songId} set={set} titleOf={titleOf} onPair={edits.pair} />
    </div>
  );
}
