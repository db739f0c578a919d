/**
 * What merging must give, stated without the program: every key of a document is a place into which people write values (or take one out).
 * A write is over those that its writer had seen there. Of all writes that somebody has heard of, the place holds one that none of the
 * others is over. Where there is one such write, it is certain; where several wrote at once, it is one of theirs.
 */
export interface Write {
  readonly id: number;
  readonly key: string;
  /** Null: taken out. */
  readonly value: string | null;
  readonly over: ReadonlySet<number>;
}

export class MergeModel {
  readonly #writes = new Map<string, Write[]>();
  /** By person: the writes that they have heard of, their own among them. */
  readonly #heard: readonly Set<number>[];
  #count = 0;

  /** @param start what everybody begins with */
  constructor(people: number, start: ReadonlyMap<string, string>) {
    this.#heard = Array.from({ length: people }, () => new Set<number>());
    for (const [key, value] of start) {
      const write = this.#add(key, value, new Set());
      for (const heard of this.#heard) heard.add(write.id);
    }
  }

  /** A person's write, over all that they have heard of at that key. */
  write(who: number, key: string, value: string | null): number {
    const { id } = this.#add(key, value, new Set(this.#heardAt(who, key).map((write) => write.id)));
    this.#heard[who]?.add(id);
    return id;
  }

  hear(who: number, writes: Iterable<number>): void {
    for (const id of writes) this.#heard[who]?.add(id);
  }

  heard(who: number): ReadonlySet<number> {
    return this.#heard[who] ?? new Set();
  }

  keys(): Iterable<string> {
    return this.#writes.keys();
  }

  /** The values of which a key must hold one, as a person has it. */
  possible(who: number, key: string): ReadonlySet<string | null> {
    const heard = this.#heardAt(who, key);
    const passed = new Set(heard.flatMap(({ over }) => [...over]));
    const open = heard.filter(({ id }) => !passed.has(id));
    return new Set(open.length === 0 ? [null] : open.map(({ value }) => value));
  }

  #add(key: string, value: string | null, over: ReadonlySet<number>): Write {
    const write = { id: this.#count, key, value, over };
    this.#count += 1;
    const there = this.#writes.get(key);
    if (there) there.push(write);
    else this.#writes.set(key, [write]);
    return write;
  }

  #heardAt(who: number, key: string): readonly Write[] {
    return (this.#writes.get(key) ?? []).filter(({ id }) => this.#heard[who]?.has(id));
  }
}
