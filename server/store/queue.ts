interface Waiting<T> {
  readonly item: T;
  readonly resolve: () => void;
  readonly reject: (error: unknown) => void;
}

/** Commits items together; answers, one for one, with what was wrong with each. A rejection: nothing of it was kept. */
export type CommitAll<T> = (items: readonly T[]) => Promise<readonly (Error | null)[]>;

/**
 * Gathers items for a few milliseconds, and for as long as the commit before is under way, and hands them over together,
 * in order: many edits, one commit.
 */
export class CommitQueue<T> {
  readonly #commit: CommitAll<T>;
  readonly #milliseconds: number;
  #waiting: Waiting<T>[] = [];
  #timer: NodeJS.Timeout | null = null;
  #underWay = 0;

  constructor(commit: CommitAll<T>, milliseconds: number) {
    this.#commit = commit;
    this.#milliseconds = milliseconds;
  }

  add(item: T): Promise<void> {
    return new Promise((resolve, reject) => {
      this.#waiting.push({ item, resolve, reject });
      if (this.#underWay === 0) this.#timer ??= setTimeout(() => this.flush(), this.#milliseconds);
    });
  }

  /** Hands over what waits, now. Does not throw: each promise gets its own word. */
  flush(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    const batch = this.#waiting;
    if (batch.length === 0) return;
    this.#waiting = [];
    this.#underWay += 1;
    this.#commit(batch.map((waiting) => waiting.item))
      .then(
        (answers) =>
          batch.forEach((waiting, i) => {
            const wrong = answers[i] ?? null;
            if (wrong === null) waiting.resolve();
            else waiting.reject(wrong);
          }),
        (error: unknown) => {
          for (const waiting of batch) waiting.reject(error);
        },
      )
      .finally(() => {
        this.#underWay -= 1;
        if (this.#underWay === 0) this.flush();
      });
  }
}
