'use client';

import { useState } from 'react';
import type * as Y from 'yjs';
import type { Place, Player, Song } from '../../lib/song';
import { Button } from '../ui/Button';
import { sentence } from '../ui/Notice';
import { whenInWords } from '../ui/said';
import { useNext } from './useNext';
import { useSeen } from './useSeen';

interface SinceLastProps {
  readonly bandId: string;
  readonly song: Song;
  readonly players: readonly Player[];
  readonly you: string | null;
  /** Null until it is here as this device holds it. */
  readonly doc: Y.Doc | null;
  /** True once the song is here as the server has it. */
  readonly isHere: boolean;
  readonly goTo: (place: Place) => void;
}

/** What others changed since this device last looked at the song: a line that opens to the sentences. */
export function SinceLast({ bandId, song, players, you, doc, isHere, goTo }: SinceLastProps) {
  const [news, saySeen] = useSeen(bandId, song, players, you, doc, isHere);
  const [isOpen, setOpen] = useState(false);
  const places = (news?.changes ?? []).filter(({ place }) => place !== null);
  const [next, went] = useNext(places.length);
  if (news === null) return null;
  const { changes, since } = news;
  return (
    <section className="no-print my-2" aria-label="What changed since you were here">
      <p className="flex flex-wrap items-baseline gap-x-6">
        <span role="status">
          Since {whenInWords(since)}: {changes.length === 1 ? 'one thing' : `${changes.length} things`}{' '}
          changed.
        </span>
        <Button shortcut="z" expanded={isOpen} onPress={() => setOpen(!isOpen)}>
          What changed
        </Button>
        <Button shortcut="*" onPress={saySeen}>
          I have seen it
        </Button>
      </p>
      {isOpen && (
        <ul>
          {changes.map((change, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: the list stands as it was made
            <li key={i} className="flex flex-wrap items-baseline gap-x-4">
              <span>{sentence(change.sentence)}</span>
              {change.place && (
                <Button
                  {...(change === places[next] ? { shortcut: '/' } : {})}
                  label={`Go there: ${change.sentence}`}
                  onPress={() => {
                    went(places.indexOf(change));
                    if (change.place) goTo(change.place);
                  }}
                >
                  go there
                </Button>
              )}
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
