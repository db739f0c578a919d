import { useRef } from 'react';
import { type Arrangement, arrange } from '../../lib/parts';
import type { Song } from '../../lib/song';

/** What was computed of each state of a song, while that state is there. */
const known = new WeakMap<Song, Arrangement>();

/**
 * A song with all that is computed from it: what says the same in the next state of the song stays the same object. Remembered
 * by the song, since a look at the next state may be given up for a key, and begun again.
 */
export function useArrangement(song: Song): Arrangement {
  const last = useRef<Arrangement | null>(null);
  let now = known.get(song);
  if (!now) {
    now = arrange(song, undefined, undefined, last.current);
    known.set(song, now);
  }
  last.current = now;
  return now;
}
