import { useEffect, useState } from 'react';
import { sameValue } from '../../lib/base';
import type { SetSong } from '../../lib/sets';
import { ask } from '../hooks/api';

/** How long after an answer the songs are asked for again while the page is looked at, in milliseconds. */
const ASK_AGAIN = 10_000;

/**
 * A band's songs as an evening sees them: as the page first got them, and again every so often while somebody looks, at once when they come
 * back to it. What others change in a song is a document of its own, so that the set's own says nothing of it. Without an
 * answer they stay as they were.
 */
export function useSetSongs(bandId: string, first: readonly SetSong[]): readonly SetSong[] {
  const [songs, setSongs] = useState(first);
  useEffect(() => {
    let isOver = false;
    let isAsking = false;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const look = async () => {
      clearTimeout(timer);
      if (document.visibilityState !== 'visible' || isAsking) return;
      isAsking = true;
      const answer = await ask(`/api/bands/${bandId}/set-songs`, 'setSongs');
      isAsking = false;
      if (isOver) return;
      if (answer.ok) {
        const { songs: now } = answer.value;
        setSongs((before) => (sameValue(before, now) ? before : now));
      }
      timer = setTimeout(look, ASK_AGAIN);
    };
    timer = setTimeout(look, ASK_AGAIN);
    document.addEventListener('visibilitychange', look);
    window.addEventListener('focus', look);
    window.addEventListener('online', look);
    return () => {
      isOver = true;
      clearTimeout(timer);
      document.removeEventListener('visibilitychange', look);
      window.removeEventListener('focus', look);
      window.removeEventListener('online', look);
    };
  }, [bandId]);
  return songs;
}
