/** So many at once for each key, and so many in all. */
export class Slots {
  readonly #each: number;
  readonly #all: number;
  readonly #taken = new Map<string, number>();
  #total = 0;

  constructor(each: number, all: number) {
    this.#each = each;
    this.#all = all;
  }

  /** The way to give it back, which counts once; null where there is none left. */
  take(key: string): (() => void) | null {
    const taken = this.#taken.get(key) ?? 0;
    if (taken >= this.#each || this.#total >= this.#all) return null;
    this.#taken.set(key, taken + 1);
    this.#total += 1;
    let isBack = false;
    return () => {
      if (isBack) return;
      isBack = true;
      this.#total -= 1;
      const left = (this.#taken.get(key) ?? 1) - 1;
      if (left > 0) this.#taken.set(key, left);
      else this.#taken.delete(key);
    };
  }

  get total(): number {
    return this.#total;
  }
}
