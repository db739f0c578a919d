'use client';

import { useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import { LIMITS } from '../../lib/protocol';
import { brokenReading } from '../hooks/readInWorker';
import type { BandFileRead, ReadBandAnswer } from '../workers/read-band-messages';
import { bandFileTooLarge } from './song-file';

export type BandFileState =
  | { readonly state: 'reading' | 'stopped' }
  | { readonly state: 'failed'; readonly problem: Problem }
  | { readonly state: 'read'; readonly read: BandFileRead };

/** Reads a band file in a worker of its own; it can be stopped. */
export function useBandFile(file: File): { readonly is: BandFileState; readonly stop: () => void } {
  const [is, setIs] = useState<BandFileState>({ state: 'reading' });
  const worker = useRef<Worker | null>(null);

  useEffect(() => {
    let isOver = false;
    const finish = (next: BandFileState) => {
      worker.current?.terminate();
      worker.current = null;
      if (!isOver) setIs(next);
    };
    const failed = (problem: Problem) => finish({ state: 'failed', problem });
    setIs({ state: 'reading' });
    const refusal = bandFileTooLarge(file.size, LIMITS.bandFile, file.name);
    if (refusal) failed(refusal);
    else
      file.arrayBuffer().then(
        (bytes) => {
          if (isOver) return;
          const mine = new Worker(new URL('../workers/read-band.ts', import.meta.url), { type: 'module' });
          worker.current = mine;
          mine.onmessage = ({ data }: MessageEvent<ReadBandAnswer>) =>
            data.ok
              ? finish({ state: 'read', read: data.value })
              : failed({ ...data.error, where: `${file.name}, ${data.error.where}` });
          mine.onerror = (event) => {
            event.preventDefault();
            failed(brokenReading(file.name));
          };
          mine.postMessage(new Uint8Array(bytes));
        },
        () =>
          failed({
            what: 'the file could not be opened',
            where: file.name,
            mend: 'see that it is still where it was, then choose it again',
          }),
      );
    return () => {
      isOver = true;
      worker.current?.terminate();
      worker.current = null;
    };
  }, [file]);

  const stop = useCallback(() => {
    worker.current?.terminate();
    worker.current = null;
    setIs({ state: 'stopped' });
  }, []);
  return { is, stop };
}
