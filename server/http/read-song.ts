import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import { granted, type PageResult, type RefusalCode, refuse } from '../../lib/protocol';

/** A posted song, read: its document as one update, or why it is none. */
export type SongReading =
  | { readonly songId: string; readonly title: string; readonly update: Uint8Array }
  | { readonly code: RefusalCode; readonly where: string };
export type SongRead = Extract<SongReading, { readonly update: Uint8Array }>;

export interface ReadLimits {
  readonly milliseconds: number;
  /** Megabytes of what the reader makes of the text. */
  readonly megabytes: number;
  /** Readers at work at once, and requests that wait for one. */
  readonly atOnce: number;
  readonly waiting: number;
}
const LIMITS: ReadLimits = { milliseconds: 15_000, megabytes: 256, atOnce: 1, waiting: 8 };

/**
 * In the built server the reader lies beside it. From the sources it is a source too, and the thread has to be taught to read
 * those first: Node passes `--import` on to no worker.
 */
function startReader(text: Uint8Array, megabytes: number): Worker {
  const options = {
    workerData: text,
    resourceLimits: { maxOldGenerationSizeMb: megabytes, maxYoungGenerationSizeMb: 32 },
    execArgv: [],
    env: {},
  };
  if (!import.meta.url.endsWith('.ts'))
    return new Worker(new URL('./song-worker.mjs', import.meta.url), options);
  const source = JSON.stringify(new URL('./song-worker.ts', import.meta.url).href);
  const tsx = createRequire(import.meta.url)
    .resolve('tsx/esm/api')
    .replace(/\.cjs$/, '.mjs');
  const teacher = JSON.stringify(pathToFileURL(tsx).href);
  const code = `import(${teacher}).then((tsx) => { tsx.register(); return import(${source}); })`;
  return new Worker(code, { ...options, eval: true });
}

/** Reads posted songs in workers, so that no song can hold up the server, nor take its memory. */
export class SongReader {
  readonly #limits: ReadLimits;
  readonly #queue: (() => void)[] = [];
  #busy = 0;

  constructor(limits: Partial<ReadLimits> = {}) {
    this.#limits = { ...LIMITS, ...limits };
  }

  async read(text: Uint8Array): Promise<PageResult<SongRead>> {
    if (this.#busy >= this.#limits.atOnce) {
      if (this.#queue.length >= this.#limits.waiting) return refuse('too often', 'bringing songs in');
      await new Promise<void>((turn) => this.#queue.push(turn));
    }
    this.#busy += 1;
    try {
      const reading = await this.#run(text);
      return 'code' in reading ? refuse(reading.code, reading.where) : granted(reading);
    } finally {
      this.#busy -= 1;
      this.#queue.shift()?.();
    }
  }

  #run(text: Uint8Array): Promise<SongReading> {
    return new Promise((resolve) => {
      const worker = startReader(text, this.#limits.megabytes);
      const settle = (reading: SongReading) => {
        clearTimeout(timer);
        void worker.terminate();
        resolve(reading);
      };
      const failed = () => settle({ code: 'reading failed', where: 'the song' });
      const timer = setTimeout(failed, this.#limits.milliseconds);
      worker.once('message', settle);
      // Too much memory ends it with an error; an end without a word is one too.
      worker.once('error', failed);
      worker.once('exit', failed);
    });
  }
}
