/** Milliseconds, from any beginning, never going back. */
export type Watch = () => number;

export interface PaceOptions {
  readonly watch?: Watch;
  /** How many times as long as a turn took until the next may come, in milliseconds between `least` and `most`. */
  readonly rest: number;
  readonly least: number;
  readonly most: number;
}

/** What is done in a turn. */
export interface Work {
  work(): void;
}
/** What is done when all the work of a turn is done. */
export interface Last {
  last(): void;
}

/** When the rooms do what they have gathered. */
export interface Paces {
  readonly edits: Pace;
  readonly kept: Pace;
  readonly presence: Pace;
}

/**
 * When gathered work is done. The first that comes to an idle server is done as soon as the input at hand has been
 * read; while the server is busy, work waits until it has rested from its last turn, and what comes meanwhile is done
 * together. So the load itself decides how much is merged, and an edit on an idle server waits for nothing.
 */
export class Pace {
  readonly #watch: Watch;
  readonly #options: PaceOptions;
  #work = new Set<Work>();
  #lasts: Last[] = [];
  #notBefore = Number.NEGATIVE_INFINITY;
  #state: 'idle' | 'waiting' | 'turn' = 'idle';
  #immediate: NodeJS.Immediate | null = null;
  #timer: NodeJS.Timeout | null = null;

  constructor(options: PaceOptions) {
    this.#options = options;
    this.#watch = options.watch ?? (() => performance.now());
  }

  /** Does the work in the next turn; once, however often it is asked for before. */
  soon(work: Work): void {
    this.#work.add(work);
    this.#schedule();
  }

  /** Does it when all the work of the turn is done; as often as it is asked for. */
  afterwards(last: Last): void {
    this.#lasts.push(last);
    this.#schedule();
  }

  /** Forgets work that nobody wants any more. */
  drop(work: Work): void {
    if (this.#work.delete(work) && this.#work.size === 0 && this.#lasts.length === 0) this.#unschedule();
  }

  /** Whether nothing waits. */
  get idle(): boolean {
    return this.#state === 'idle';
  }

  #schedule(): void {
    if (this.#state !== 'idle') return;
    this.#state = 'waiting';
    const wait = this.#notBefore - this.#watch();
    if (wait <= 0) queueMicrotask(this.#rested);
    else if (wait < 1) this.#immediate = setImmediate(this.#turn);
    else this.#timer = setTimeout(this.#turn, wait);
  }

  readonly #rested = (): void => {
    if (this.#state === 'waiting' && this.#immediate === null && this.#timer === null) this.#turn();
  };

  #unschedule(): void {
    if (this.#state !== 'waiting') return;
    this.#state = 'idle';
    if (this.#immediate !== null) clearImmediate(this.#immediate);
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#immediate = null;
    this.#timer = null;
  }

  readonly #turn = (): void => {
    const { rest, least, most } = this.#options;
    const start = this.#watch();
    this.#immediate = null;
    this.#timer = null;
    // What the work asks for now is done at this turn's end, or in the next turn.
    this.#state = 'turn';
    const work = this.#work;
    this.#work = new Set();
    for (const one of work) one.work();
    const lasts = this.#lasts;
    this.#lasts = [];
    for (const one of lasts) one.last();
    const end = this.#watch();
    this.#notBefore = end + Math.min(most, Math.max(least, (end - start) * rest));
    this.#state = 'idle';
    if (this.#work.size > 0 || this.#lasts.length > 0) this.#schedule();
  };
}
