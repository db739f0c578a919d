'use client';

import { useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { SongRead, TuneInBook } from '../../lib/exchange';
import type { ReadRequest } from '../workers/read-song-messages';
import { brokenReading, readInWorker } from './readInWorker';

interface Tunes {
  /** Those that the text holds. */
  readonly tunes: readonly TuneInBook[];
  /** The one that was read, from 0. */
  readonly which: number;
}
export type ReadingState =
  | { readonly state: 'nothing' }
  | { readonly state: 'working'; readonly seconds: number }
  | { readonly state: 'stopped' }
  | ({ readonly state: 'failed'; readonly problem: Problem } & Tunes)
  | ({ readonly state: 'done'; readonly read: SongRead } & Tunes);

/** Reads a song's text in a worker, one at a time; it can be stopped. */
export function useReadSong(): {
  readonly reading: ReadingState;
  readonly read: (request: ReadRequest) => void;
  readonly stop: () => void;
  /** Back to nothing: what was read is of no use any more. */
  readonly forget: () => void;
} {
  const [reading, setReading] = useState<ReadingState>({ state: 'nothing' });
  const end = useRef<(() => void) | null>(null);

  const finish = useCallback((next: ReadingState) => {
    end.current?.();
    end.current = null;
    setReading(next);
  }, []);

  const read = useCallback(
    (request: ReadRequest) => {
      end.current?.();
      const running = readInWorker(request);
      const timer = setInterval(
        () => setReading((now) => (now.state === 'working' ? { ...now, seconds: now.seconds + 1 } : now)),
        1000,
      );
      end.current = () => {
        clearInterval(timer);
        running.stop();
      };
      running.answer.then(
        ({ result, tunes, which }) =>
          finish(
            result.ok
              ? { state: 'done', read: result.value, tunes, which }
              : { state: 'failed', problem: result.error, tunes, which },
          ),
        () => finish({ state: 'failed', problem: brokenReading(request.title), tunes: [], which: 0 }),
      );
      setReading({ state: 'working', seconds: 0 });
    },
    [finish],
  );

  useEffect(
    () => () => {
      end.current?.();
      end.current = null;
    },
    [],
  );

  return {
    reading,
    read,
    stop: useCallback(() => finish({ state: 'stopped' }), [finish]),
    forget: useCallback(() => finish({ state: 'nothing' }), [finish]),
  };
}
