'use client';

import { useEffect, useRef, useState } from 'react';
import type * as Y from 'yjs';
import { type Change, changesBetween, withOwn } from '../../lib/changes';
import { readSong } from '../../lib/document';
import type { Player, Song } from '../../lib/song';
import { readSeen, type Seen, writeSeen } from '../sync/seen';

/** What others changed since a song was last looked at on this device. */
export interface News {
  /** Milliseconds since 1970. */
  readonly since: number;
  readonly changes: readonly Change[];
}

/**
 * Keeps on this device what was last seen of a song, and tells what others have changed since. What is done on this page is taken into
 * what was seen as it is done, so that it never comes back as news, whether the page is then offline, or left before the news is seen.
 *
 * @param doc null until it is here as this device holds it
 * @param isHere true once the song is here as the server has it
 * @returns null where there is nothing to tell; `tell` is told that the news was seen
 */
export function useSeen(
  bandId: string,
  song: Song,
  players: readonly Player[],
  you: string | null,
  doc: Y.Doc | null,
  isHere: boolean,
): readonly [news: News | null, saySeen: () => void] {
  const [news, setNews] = useState<News | null>(null);
  // Edits of one's own are on their way to the server again and again: what counts is that the song has come.
  const [hasCome, setHasCome] = useState(false);
  if (isHere && !hasCome) setHasCome(true);
  const now = useRef({ song, players, you });
  useEffect(() => {
    now.current = { song, players, you };
  });
  /** True once nothing is left to be told: from then on what is on the page counts as seen. */
  const isSeen = useRef(false);
  /** What was seen, with what was done here since; null: nothing was, or it is not read yet. */
  const seen = useRef<Seen | null>(null);
  const [isRead, setRead] = useState(false);

  useEffect(() => {
    if (doc === null) return;
    let isWanted = true;
    let last = readSong(doc).song;
    /** What was done here before what was seen is read. */
    const early: (readonly [before: Song, after: Song])[] = [];
    const carry = (before: Song, after: Song) => {
      if (!seen.current) return;
      seen.current = { ...seen.current, song: withOwn(seen.current.song, before, after) };
      keep();
    };
    const toKeep = (): Seen | null => (isSeen.current ? { song: last, at: Date.now() } : seen.current);
    let writing: Promise<void> | null = null;
    let isDue = false;
    /** Writes at once, since a page can go at any time; what comes while it is being written is written together, after it. */
    const keep = () => {
      isDue = writing !== null;
      const kept = toKeep();
      if (isDue || kept === null) return;
      writing = writeSeen(bandId, kept).then(() => {
        writing = null;
        if (isDue) keep();
      });
    };
    const onChange = ({ local }: Y.Transaction) => {
      const before = last;
      last = readSong(doc).song;
      if (!local || before === last) return;
      if (isSeen.current) keep();
      else if (seen.current) carry(before, last);
      else early.push([before, last]);
    };
    doc.on('afterTransaction', onChange);
    void readSeen(bandId, last.id).then((kept) => {
      if (!isWanted) return;
      seen.current = kept;
      for (const [before, after] of early) carry(before, after);
      setRead(true);
    });
    const leave = () => {
      if (isSeen.current) keep();
    };
    const onHide = () => {
      if (document.visibilityState === 'hidden') leave();
    };
    document.addEventListener('visibilitychange', onHide);
    return () => {
      isWanted = false;
      doc.off('afterTransaction', onChange);
      document.removeEventListener('visibilitychange', onHide);
      leave();
    };
  }, [bandId, doc]);

  useEffect(() => {
    if (!isRead || !hasCome) return;
    // Asked once, when the song has come: what changes while one looks on is seen.
    const { song: is, players: band, you: me } = now.current;
    const all = seen.current === null ? [] : changesBetween(seen.current.song, is, band);
    const changes = all.filter(({ by }) => by === null || by !== me);
    if (seen.current !== null && changes.length > 0) setNews({ since: seen.current.at, changes });
    else {
      isSeen.current = true;
      void writeSeen(bandId, { song: is, at: Date.now() });
    }
  }, [bandId, isRead, hasCome]);

  return [
    news,
    () => {
      isSeen.current = true;
      // What is gone from the page is kept as seen, even if the page goes at once.
      void writeSeen(bandId, { song: now.current.song, at: Date.now() }).then(() => setNews(null));
    },
  ];
}
