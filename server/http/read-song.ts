import { granted, type PageResult, type RefusalCode, refuse } from '../../lib/protocol';
import { startThread } from '../ports';

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

/** In the built server the reader lies beside it; from the sources it is a source too. */
const FILE = import.meta.url.endsWith('.ts') ? './song-worker.ts' : './song-worker.mjs';

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
      const worker = startThread(new URL(FILE, import.meta.url), {
        workerData: text,
        resourceLimits: { maxOldGenerationSizeMb: this.#limits.megabytes, maxYoungGenerationSizeMb: 32 },
        env: {},
      });
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
