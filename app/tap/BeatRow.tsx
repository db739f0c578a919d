'use client';

import { useEffect, useState } from 'react';
import type { Beat } from './clicks';

/** The beat that is now, as figures of its bar: the one that sounds is dark. Nothing moves but which figure that is. */
export function BeatRow({ beats, perBar }: { readonly beats: readonly Beat[]; readonly perBar: number }) {
  const [now, setNow] = useState<Beat | null>(null);
  useEffect(() => {
    let next = 0;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const step = () => {
      const time = performance.now();
      let due: Beat | null = null;
      for (let beat = beats[next]; beat && beat.at <= time + 4; beat = beats[next]) {
        due = beat;
        next += 1;
      }
      if (due) setNow(due);
      const following = beats[next];
      if (following) timer = setTimeout(step, Math.max(0, following.at - performance.now()));
    };
    step();
    return () => clearTimeout(timer);
  }, [beats]);
  const isCount = now === null || now.bar < 0;
  return (
    <p className="tap-beats plain" aria-hidden="true">
      {Array.from({ length: perBar }, (_, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: the figures of a bar have no other name
        <span key={i} data-now={now?.number === i + 1}>
          {i + 1}
        </span>
      ))}
      <span className="aside">{isCount ? 'count-in' : `bar ${now.bar + 1}`}</span>
    </p>
  );
}
