'use client';

import { useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { SongRead, TuneInBook } from '../../lib/exchange';
import type { ReadAnswer, ReadRequest } from '../workers/read-song-messages';

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
      const worker = new Worker(new URL('../workers/read-song.ts', import.meta.url), { type: 'module' });
      const timer = setInterval(
        () => setReading((now) => (now.state === 'working' ? { ...now, seconds: now.seconds + 1 } : now)),
        1000,
      );
      end.current = () => {
        clearInterval(timer);
        worker.terminate();
      };
      worker.onmessage = ({ data: { result, tunes, which } }: MessageEvent<ReadAnswer>) =>
        finish(
          result.ok
            ? { state: 'done', read: result.value, tunes, which }
            : { state: 'failed', problem: result.error, tunes, which },
        );
      worker.onerror = (event) => {
        event.preventDefault();
        const problem = {
          what: 'reading it stopped for a reason of ours',
          where: request.title,
          mend: 'take out what is unusual in it and read it again, or try the first lines of it alone',
        };
        finish({ state: 'failed', problem, tunes: [], which: 0 });
      };
      worker.postMessage(request);
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
