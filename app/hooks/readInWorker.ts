import type { ReadAnswer, ReadRequest } from '../workers/read-song-messages';

/** One reading in a worker of its own. */
export interface Running {
  /** Rejects where the worker breaks; never settles once it was stopped. */
  readonly answer: Promise<ReadAnswer>;
  readonly stop: () => void;
}

/** Reads a song away from the page; the worker ends with its answer. */
export function readInWorker(request: ReadRequest): Running {
  const worker = new Worker(new URL('../workers/read-song.ts', import.meta.url), { type: 'module' });
  const answer = new Promise<ReadAnswer>((done, broken) => {
    worker.onmessage = ({ data }: MessageEvent<ReadAnswer>) => {
      worker.terminate();
      done(data);
    };
    worker.onerror = (event) => {
      event.preventDefault();
      worker.terminate();
      broken(new Error(event.message));
    };
  });
  worker.postMessage(request);
  return { answer, stop: () => worker.terminate() };
}

/** What is said where a worker broke. */
export const brokenReading = (where: string) => ({
  what: 'reading it stopped for a reason of ours',
  where,
  mend: 'take out what is unusual in it and read it again, or try the first lines of it alone',
});
