'use client';

import { useEffect, useRef, useState } from 'react';
import { type Change, changesBetween } from '../../lib/changes';
import type { Place, Player, Song } from '../../lib/song';
import { readSeen, writeSeen } from '../sync/seen';
import { Button } from '../ui/Button';
import { sentence } from '../ui/Notice';
import { whenInWords } from './said-words';
import { useNext } from './useNext';

interface SinceLastProps {
  readonly bandId: string;
  readonly song: Song;
  readonly players: readonly Player[];
  readonly you: string | null;
  /** True once the song is here as the server has it. */
  readonly isHere: boolean;
  readonly goTo: (place: Place) => void;
}

/** What others changed since this device last looked at the song: a line that opens to the sentences. */
export function SinceLast({ bandId, song, players, you, isHere, goTo }: SinceLastProps) {
  const [news, setNews] = useState<{ readonly since: number; readonly changes: readonly Change[] } | null>(
    null,
  );
  const [isOpen, setOpen] = useState(false);
  // Edits of one's own are on their way to the server again and again: what counts is that the song has come.
  const [hasCome, setHasCome] = useState(false);
  if (isHere && !hasCome) setHasCome(true);
  const places = (news?.changes ?? []).filter(({ place }) => place !== null);
  const [next, went] = useNext(places.length);
  const now = useRef({ song, players, you });
  /** True once nothing is left to be told: from then on what is on the page counts as seen. */
  const isSeen = useRef(false);
  useEffect(() => {
    now.current = { song, players, you };
  });

  useEffect(() => {
    if (!hasCome) return;
    let isWanted = true;
    const keep = () => writeSeen(bandId, { song: now.current.song, at: Date.now() });
    void readSeen(bandId, now.current.song.id).then((seen) => {
      if (!isWanted) return;
      const { song: is, players: band, you: me } = now.current;
      const all = seen === null ? [] : changesBetween(seen.song, is, band);
      const changes = all.filter(({ by }) => by === null || by !== me);
      if (seen !== null && changes.length > 0) setNews({ since: seen.at, changes });
      else isSeen.current = true;
      if (isSeen.current) void keep();
    });
    const leave = () => {
      if (isSeen.current) void keep();
    };
    const onHide = () => {
      if (document.visibilityState === 'hidden') leave();
    };
    document.addEventListener('visibilitychange', onHide);
    return () => {
      isWanted = false;
      document.removeEventListener('visibilitychange', onHide);
      leave();
    };
    // Asked once, when the song has come: what changes while one looks on is seen.
  }, [bandId, hasCome]);

  if (news === null) return null;
  const { changes, since } = news;
  const seen = () => {
    isSeen.current = true;
    // What is gone from the page is kept as seen, even if the page goes at once.
    void writeSeen(bandId, { song: now.current.song, at: Date.now() }).then(() => setNews(null));
  };
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
        <Button shortcut="*" onPress={seen}>
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
