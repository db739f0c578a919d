/** Milliseconds, from any beginning, never going back. */
export type Watch = () => number;

export interface PaceOptions {
  readonly watch?: Watch;
  /** How many times as long as a turn took until the next may come, in milliseconds between `least` and `most`. */
  readonly rest: number;
  readonly least: number;
  readonly most: number;
}

/**
 * When gathered work is done. The first that comes to an idle server is done as soon as the input at hand has been
 * read; while the server is busy, work waits until it has rested from its last turn, and what comes meanwhile is done
 * together. So the load itself decides how much is merged, and an edit on an idle server waits for nothing.
 */
export class Pace {
  readonly #watch: Watch;
  readonly #options: PaceOptions;
  #work = new Set<() => void>();
  #afterwards = new Set<() => void>();
  #notBefore = Number.NEGATIVE_INFINITY;
  #immediate: NodeJS.Immediate | null = null;
  #timer: NodeJS.Timeout | null = null;

  constructor(options: PaceOptions) {
    this.#options = options;
    this.#watch = options.watch ?? (() => performance.now());
  }

  /** Does the work in the next turn; once, however often it is asked for before. */
  soon(work: () => void): void {
    this.#work.add(work);
    this.#schedule();
  }

  /** Does it when all the work of the turn is done. */
  afterwards(last: () => void): void {
    this.#afterwards.add(last);
    this.#schedule();
  }

  /** Forgets work that nobody wants any more. */
  drop(work: () => void): void {
    this.#work.delete(work);
    if (this.#work.size === 0 && this.#afterwards.size === 0) this.#unschedule();
  }

  /** Whether anything waits. */
  get idle(): boolean {
    return this.#immediate === null && this.#timer === null;
  }

  #schedule(): void {
    if (!this.idle) return;
    const wait = this.#notBefore - this.#watch();
    if (wait < 1) this.#immediate = setImmediate(() => this.#turn());
    else this.#timer = setTimeout(() => this.#turn(), wait);
  }

  #unschedule(): void {
    if (this.#immediate !== null) clearImmediate(this.#immediate);
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#immediate = null;
    this.#timer = null;
  }

  #turn(): void {
    const { rest, least, most } = this.#options;
    const start = this.#watch();
    const work = this.#work;
    this.#work = new Set();
    // The timer stays noted until the end, so that what the work asks for joins this turn's end or the next turn.
    for (const one of work) one();
    const last = this.#afterwards;
    this.#afterwards = new Set();
    for (const one of last) one();
    const end = this.#watch();
    this.#notBefore = end + Math.min(most, Math.max(least, (end - start) * rest));
    this.#immediate = null;
    this.#timer = null;
    if (this.#work.size > 0 || this.#afterwards.size > 0) this.#schedule();
  }
}
