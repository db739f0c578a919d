import type { MakeId } from '../../lib/base';
import {
  type BookJob,
  type BookStamps,
  granted,
  type PageResult,
  type Refusal,
  refuse,
  whyNot,
} from '../../lib/protocol';
import type { Clock } from '../ports';
import { FileAnswer } from './file-answer';
import type { PrintMessage, PrintWork } from './print-work';
import type { ThreadQueue } from './thread-queue';

/** A finished book is kept for so long, in milliseconds. */
const KEPT = 10 * 60_000;
/** Bytes of finished books that are kept; above that the oldest goes. */
const MOST_BYTES = 96 * 1024 * 1024;
/** Jobs of one band that wait or are at work. */
const MOST_OF_BAND = 4;
const MOST_JOBS = 200;

interface Job {
  readonly id: string;
  readonly bandId: string;
  readonly stopper: AbortController;
  state: BookJob['state'];
  done: number;
  of: number;
  problem: Refusal | null;
  stamps: BookStamps | null;
  file: FileAnswer | null;
  endedAt: number | null;
}

/** Evening books being made: begun, watched, stopped, taken along. They wait for their turn, one at work at a time. */
export class Books {
  readonly #threads: ThreadQueue;
  readonly #clock: Clock;
  readonly #makeId: MakeId;
  readonly #jobs = new Map<string, Job>();

  constructor(threads: ThreadQueue, clock: Clock, makeId: MakeId) {
    this.#threads = threads;
    this.#clock = clock;
    this.#makeId = makeId;
  }

  start(bandId: string, work: Extract<PrintWork, { readonly kind: 'book' }>): PageResult<BookJob> {
    this.#forget();
    const open = [...this.#jobs.values()].filter((job) => job.bandId === bandId && job.endedAt === null);
    if (open.length >= MOST_OF_BAND || this.#jobs.size >= MOST_JOBS)
      return refuse('too often', 'printing books');
    const job: Job = {
      id: this.#makeId(),
      bandId,
      stopper: new AbortController(),
      state: 'waiting',
      done: 0,
      of: Math.max(1, work.songs.length * work.playerIds.length),
      problem: null,
      stamps: null,
      file: null,
      endedAt: null,
    };
    this.#jobs.set(job.id, job);
    void this.#run(job, work);
    return granted(shown(job));
  }

  async #run(job: Job, work: PrintWork): Promise<void> {
    const outcome = await this.#threads.run<PrintMessage>(work, {
      signal: job.stopper.signal,
      isAnswer: (message) => {
        if (message.kind !== 'progress') return true;
        job.state = 'at work';
        job.done = message.done;
        job.of = message.of;
        return false;
      },
    });
    job.endedAt = this.#clock();
    if (outcome.kind === 'stopped') job.state = 'stopped';
    else if (outcome.kind === 'done' && outcome.value.kind === 'made') {
      const { name, bytes } = outcome.value;
      job.file = new FileAnswer(name, name.endsWith('.zip') ? 'application/zip' : 'application/pdf', bytes);
      job.stamps = outcome.value.stamps ?? null;
      job.done = job.of;
      job.state = 'ready';
    } else if (outcome.kind === 'done' && outcome.value.kind === 'stamps') {
      job.stamps = outcome.value.stamps;
      job.done = job.of;
      job.state = 'ready';
    } else {
      job.state = 'failed';
      job.problem = whyNot(outcome.kind === 'full' ? 'too often' : 'printing failed', 'the evening book');
    }
    this.#forget();
  }

  status(bandId: string, jobId: string): PageResult<BookJob> {
    this.#forget();
    const job = this.#find(bandId, jobId);
    return job === null ? refuse('not found', `book ${jobId}`) : granted(shown(job));
  }

  stop(bandId: string, jobId: string): PageResult<BookJob> {
    const job = this.#find(bandId, jobId);
    if (job === null) return refuse('not found', `book ${jobId}`);
    if (job.endedAt === null) {
      job.state = 'stopped';
      job.stopper.abort();
    }
    return granted(shown(job));
  }

  file(bandId: string, jobId: string): PageResult<FileAnswer> {
    this.#forget();
    const file = this.#find(bandId, jobId)?.file ?? null;
    return file === null ? refuse('not found', `book ${jobId}`) : granted(file);
  }

  /** Stops what is at work. */
  stopAll(): void {
    for (const job of this.#jobs.values()) job.stopper.abort();
  }

  #find(bandId: string, jobId: string): Job | null {
    const job = this.#jobs.get(jobId);
    return job?.bandId === bandId ? job : null;
  }

  /** Lets go of what has been kept long enough, and of the oldest where there is too much of it. */
  #forget(): void {
    const ended = [...this.#jobs.values()].filter((job) => job.endedAt !== null);
    let bytes = ended.reduce((sum, { file }) => sum + (file?.bytes.byteLength ?? 0), 0);
    for (const job of ended) {
      const isOld = (job.endedAt ?? 0) + KEPT <= this.#clock();
      if (!isOld && bytes <= MOST_BYTES) continue;
      this.#jobs.delete(job.id);
      bytes -= job.file?.bytes.byteLength ?? 0;
    }
  }
}

const shown = ({ id, state, done, of, problem, stamps }: Job): BookJob => ({
  bookId: id,
  state,
  done,
  of,
  problem,
  stamps,
});
