/** So many at once for each key, and so many in all. Whoever takes a place gives it back. */
export class Slots<Taker extends object> {
  readonly #each: number;
  readonly #all: number;
  readonly #keys = new Map<Taker, string>();
  readonly #taken = new Map<string, number>();

  constructor(each: number, all: number) {
    this.#each = each;
    this.#all = all;
  }

  /** A place under that key; false where there is none left. */
  take(taker: Taker, key: string): boolean {
    const taken = this.#taken.get(key) ?? 0;
    if (taken >= this.#each || this.#keys.size >= this.#all) return false;
    this.#keys.set(taker, key);
    this.#taken.set(key, taken + 1);
    return true;
  }

  /** Gives its place back; counts once. */
  giveBack(taker: Taker): void {
    const key = this.#keys.get(taker);
    if (key === undefined) return;
    this.#keys.delete(taker);
    const left = (this.#taken.get(key) ?? 1) - 1;
    if (left > 0) this.#taken.set(key, left);
    else this.#taken.delete(key);
  }

  get total(): number {
    return this.#keys.size;
  }
}
