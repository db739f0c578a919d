import { startThread } from '../ports';

export interface ThreadLimits {
  readonly milliseconds: number;
  /** Megabytes of what a thread makes of its work. */
  readonly megabytes: number;
  /** Threads at work at once, and pieces of work that wait for one. */
  readonly atOnce: number;
  readonly waiting: number;
}

/** What became of a piece of work. Failed: out of time or memory, or broken. */
export type ThreadOutcome<T> =
  | { readonly kind: 'done'; readonly value: T }
  | { readonly kind: 'full' }
  | { readonly kind: 'failed' }
  | { readonly kind: 'stopped' };

export interface ThreadWork<M> {
  /** Sees each message, and says whether it is the answer; without it, the first one is. */
  readonly isAnswer?: (message: M) => boolean;
  readonly signal?: AbortSignal;
}

/** Runs pieces of work in threads, each in one of its own, so that none can hold up the server nor take its memory. */
export class ThreadQueue {
  readonly #module: URL;
  readonly #limits: ThreadLimits;
  readonly #report: (error: unknown) => void;
  readonly #queue: (() => void)[] = [];
  #busy = 0;

  /**
   * @param module takes the work as `workerData` and posts messages of the type that `run` is called with
   * @param report told of what broke in a thread, other than its memory having run out
   */
  constructor(module: URL, limits: ThreadLimits, report: (error: unknown) => void = () => {}) {
    this.#report = report;
    this.#module = module;
    this.#limits = limits;
  }

  async run<M>(
    work: unknown,
    { isAnswer = () => true, signal }: ThreadWork<M> = {},
  ): Promise<ThreadOutcome<M>> {
    if (this.#busy >= this.#limits.atOnce) {
      if (this.#queue.length >= this.#limits.waiting) return { kind: 'full' };
      if (!(await this.#turn(signal))) return { kind: 'stopped' };
    } else this.#busy += 1;
    try {
      return await this.#thread(work, isAnswer, signal);
    } finally {
      // A turn is handed on rather than given back, so that nobody who comes in between takes it.
      const next = this.#queue.shift();
      if (next) next();
      else this.#busy -= 1;
    }
  }

  /** True once it is its turn; false where it was stopped before. */
  #turn(signal: AbortSignal | undefined): Promise<boolean> {
    return new Promise((resolve) => {
      const turn = () => {
        signal?.removeEventListener('abort', stop);
        resolve(true);
      };
      const stop = () => {
        this.#queue.splice(this.#queue.indexOf(turn), 1);
        resolve(false);
      };
      this.#queue.push(turn);
      signal?.addEventListener('abort', stop, { once: true });
    });
  }

  #thread<M>(
    work: unknown,
    isAnswer: (message: M) => boolean,
    signal: AbortSignal | undefined,
  ): Promise<ThreadOutcome<M>> {
    return new Promise((resolve) => {
      if (signal?.aborted) {
        resolve({ kind: 'stopped' });
        return;
      }
      const worker = startThread(this.#module, {
        workerData: work,
        resourceLimits: { maxOldGenerationSizeMb: this.#limits.megabytes, maxYoungGenerationSizeMb: 32 },
        env: {},
      });
      const settle = (outcome: ThreadOutcome<M>) => {
        clearTimeout(timer);
        signal?.removeEventListener('abort', stop);
        void worker.terminate();
        resolve(outcome);
      };
      const stop = () => settle({ kind: 'stopped' });
      const failed = () => settle({ kind: 'failed' });
      const timer = setTimeout(failed, this.#limits.milliseconds);
      signal?.addEventListener('abort', stop, { once: true });
      worker.on('message', (message: M) => {
        if (isAnswer(message)) settle({ kind: 'done', value: message });
      });
      // Too much memory ends it with an error; an end without a word is one too.
      worker.once('error', (error: NodeJS.ErrnoException) => {
        if (error.code !== 'ERR_WORKER_OUT_OF_MEMORY') this.#report(error);
        failed();
      });
      worker.once('exit', failed);
    });
  }
}
