import { useRef } from 'react';
import { type Arrangement, arrange } from '../../lib/parts';
import type { Song } from '../../lib/song';

/** A song with all that is computed from it: what says the same in the next state of the song stays the same object. */
export function useArrangement(song: Song): Arrangement {
  const last = useRef<Arrangement | null>(null);
  if (last.current?.song !== song) last.current = arrange(song, undefined, undefined, last.current);
  return last.current;
}
