import { useRef } from 'react';
import { type Arrangement, arrange, WORD_SIZE } from '../../lib/parts';
import type { Song } from '../../lib/song';
import { sameValue } from './same';

/** A song with all that is computed from it: lines and standings stay the same objects from one state of the song to the next where they say the same. */
export function useArrangement(song: Song): Arrangement {
  const last = useRef<Arrangement | null>(null);
  if (last.current?.song !== song) {
    const now = arrange(song, WORD_SIZE, undefined, last.current);
    last.current = last.current === null ? now : steady(last.current, now);
  }
  return last.current;
}

function steady(before: Arrangement, now: Arrangement): Arrangement {
  const bySpace = new Map([...now.bySpace].map(([id, one]) => [id, asBefore(before.bySpace.get(id), one)]));
  if (now.passes === before.passes) return { ...now, bySpace };
  const lines = new Map(before.passes.flatMap((pass) => pass.lines.map((line) => [line.key, line])));
  const passes = now.passes.map((pass) => ({
    ...pass,
    lines: pass.lines.map((line) => asBefore(lines.get(line.key), line)),
  }));
  return { ...now, passes, bySpace };
}

const asBefore = <T>(before: T | undefined, now: T): T =>
  before !== undefined && sameValue(before, now) ? before : now;
