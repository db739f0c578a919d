interface Waiting<T> {
  readonly item: T;
  readonly resolve: () => void;
  readonly reject: (error: unknown) => void;
}

/**
 * Gathers items for a few milliseconds and hands them over together, in order: many edits, one commit.
 * A refused batch is refused as a whole.
 */
export class CommitQueue<T> {
  readonly #commit: (items: readonly T[]) => void;
  readonly #milliseconds: number;
  #waiting: Waiting<T>[] = [];
  #timer: NodeJS.Timeout | null = null;

  constructor(commit: (items: readonly T[]) => void, milliseconds: number) {
    this.#commit = commit;
    this.#milliseconds = milliseconds;
  }

  add(item: T): Promise<void> {
    return new Promise((resolve, reject) => {
      this.#waiting.push({ item, resolve, reject });
      this.#timer ??= setTimeout(() => this.flush(), this.#milliseconds);
    });
  }

  /** Commits what waits, now. Does not throw: each promise gets its own word. */
  flush(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    const batch = this.#waiting;
    if (batch.length === 0) return;
    this.#waiting = [];
    try {
      this.#commit(batch.map((waiting) => waiting.item));
    } catch (error) {
      for (const waiting of batch) waiting.reject(error);
      return;
    }
    for (const waiting of batch) waiting.resolve();
  }
}
