'use client';

import { useEffect, useState } from 'react';
import { fail } from '../../lib/base';
import type { SubstituteRequest } from '../../lib/substitutes';
import type { SubstituteAnswer } from '../workers/substitute';

interface Shown {
  readonly request: SubstituteRequest;
  readonly answer: SubstituteAnswer;
}

/** What becomes of a song in a substitute's hands, worked out beside the page, and anew when the song changes; undefined while it is being worked out. */
export function useSubstitute(request: SubstituteRequest | null): SubstituteAnswer | undefined {
  const [shown, setShown] = useState<Shown | null>(null);
  useEffect(() => {
    if (request === null) return;
    const worker = new Worker(new URL('../workers/substitute.ts', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<SubstituteAnswer>) =>
      setShown({ request, answer: data }),
    );
    worker.addEventListener('error', () =>
      setShown({
        request,
        answer: fail('It could not be worked out', 'this device', 'Close it and ask again'),
      }),
    );
    worker.postMessage(request);
    return () => worker.terminate();
  }, [request]);
  return shown !== null && shown.request === request ? shown.answer : undefined;
}
