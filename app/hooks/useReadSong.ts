'use client';

import { useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { ReadReport } from '../../lib/exchange';
import type { Song } from '../../lib/song';
import type { ReadAnswer, ReadRequest } from '../workers/read-song-messages';

export type ReadingState =
  | { readonly state: 'nothing' }
  | { readonly state: 'working'; readonly seconds: number }
  | { readonly state: 'stopped' }
  | { readonly state: 'failed'; readonly problem: Problem }
  | { readonly state: 'done'; readonly song: Song; readonly report: ReadReport };

/** Reads a song's text in a worker, one at a time; it can be stopped. */
export function useReadSong(): {
  readonly reading: ReadingState;
  /** `name`: of the file; null for pasted text. */
  readonly read: (text: string, name: string | null) => void;
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
    (text: string, name: string | null) => {
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
      worker.onmessage = ({ data }: MessageEvent<ReadAnswer>) =>
        finish(
          data.ok
            ? { state: 'done', song: data.value.song, report: data.value.report }
            : { state: 'failed', problem: data.error },
        );
      worker.onerror = (event) => {
        event.preventDefault();
        finish({
          state: 'failed',
          problem: {
            what: 'reading it stopped for a reason of ours',
            where: name ?? 'the pasted text',
            mend: 'take out what is unusual in it and read it again, or try the first tune of it alone',
          },
        });
      };
      const request: ReadRequest = { text };
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
