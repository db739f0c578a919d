import { granted, type PageResult, type RefusalCode, refuse } from '../../lib/protocol';
import { type ThreadLimits, ThreadQueue } from './thread-queue';

/** A posted song, read: its document as one update, or why it is none. */
export type SongReading =
  | { readonly songId: string; readonly title: string; readonly update: Uint8Array }
  | { readonly code: RefusalCode; readonly where: string };
export type SongRead = Extract<SongReading, { readonly update: Uint8Array }>;

export type ReadLimits = ThreadLimits;
const LIMITS: ReadLimits = { milliseconds: 15_000, megabytes: 256, atOnce: 1, waiting: 8 };

/** In the built server the reader lies beside it; from the sources it is a source too. */
const FILE = import.meta.url.endsWith('.ts') ? './song-worker.ts' : './song-worker.mjs';

/** Reads posted songs in workers. */
export class SongReader {
  readonly #threads: ThreadQueue;

  constructor(limits: Partial<ReadLimits> = {}) {
    this.#threads = new ThreadQueue(new URL(FILE, import.meta.url), { ...LIMITS, ...limits });
  }

  async read(text: Uint8Array): Promise<PageResult<SongRead>> {
    const outcome = await this.#threads.run<SongReading>(text);
    if (outcome.kind === 'full') return refuse('too often', 'bringing songs in');
    if (outcome.kind !== 'done') return refuse('reading failed', 'the song');
    const reading = outcome.value;
    return 'code' in reading ? refuse(reading.code, reading.where) : granted(reading);
  }
}
