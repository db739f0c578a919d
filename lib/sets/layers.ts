import { itemAt } from '../base';
import type { Ladder } from './ladder';
import { type Memories, memoriesOf } from './memories';

/** Less than a tenth of a second's worth: what binary fractions may add. */
export const HAIR = 1e-5;

const NEVER = Number.POSITIVE_INFINITY;

/**
 * The ladder's rungs as layers of states, each a song and what it remembers, for the wider kind of way that may stand on a song
 * again once it is forgotten. It finds the cheapest such way under given multipliers, and takes steps out for good that
 * no way better than a known one can take.
 */
export class Layers {
  readonly #ladder: Ladder;
  #memories: Memories;
  #value: Float64Array;
  #from: Int32Array;
  /** `[rung * size + song]`: what the rungs above cost at least, whatever is remembered. */
  readonly #above: Float64Array;
  /** Songs to which each song on each rung may still go. */
  readonly #onward: Int32Array[];
  /** Basic steps done. */
  steps = 0;

  constructor(ladder: Ladder) {
    const { size } = ladder;
    this.#ladder = ladder;
    this.#memories = memoriesOf(Array.from({ length: size }, () => []));
    this.#value = new Float64Array(size * size);
    this.#from = new Int32Array(size * size);
    this.#above = new Float64Array(size * size);
    this.#onward = Array.from({ length: Math.max(0, size - 1) * size }, (_, at) =>
      Int32Array.from(Array.from({ length: size }, (__, j) => j).filter((j) => j !== at % size)),
    );
  }

  get memories(): Memories {
    return this.#memories;
  }

  set memories(memories: Memories) {
    const { size } = this.#ladder;
    this.#memories = memories;
    this.#value = new Float64Array(size * size * memories.masks);
    this.#from = new Int32Array(size * size * memories.masks);
  }

  /**
   * The cheapest way of the wider kind, its cost with multipliers; null where every way costs more than `most`.
   *
   * @param multipliers what each song costs more, whenever it is stood on
   */
  cheapest(
    multipliers: Float64Array,
    most: number,
  ): { readonly way: readonly number[]; readonly cost: number } | null {
    const { size, start, step } = this.#ladder;
    const { masks, masksOf, next } = this.#memories;
    const states = size * masks;
    const [value, from, above] = [this.#value, this.#from, this.#above];
    const least = new Float64Array(masks);
    this.#lookAhead(multipliers);
    value.fill(NEVER);
    for (let i = 0; i < size; i++) value[i * masks] = (start[i] ?? 0) + (multipliers[i] ?? 0);
    for (let rung = 0; rung + 1 < size; rung++) {
      const here = rung * states;
      const higher = here + states;
      for (let i = 0; i < size; i++) {
        const own = masksOf[i] ?? 1;
        if (own > 1) dropDominated(value, here + i * masks, own, least);
        const onward = this.#onward[rung * size + i];
        if (onward === undefined || onward.length === 0) continue;
        const base = (rung * size + i) * size;
        const limit = most - (above[rung * size + i] ?? 0);
        for (let mask = 0; mask < own; mask++) {
          const so = value[here + i * masks + mask] ?? 0;
          if (so > limit || so === NEVER) continue;
          const row = (i * masks + mask) * size;
          this.steps += onward.length;
          for (let n = 0; n < onward.length; n++) {
            const j = onward[n] ?? 0;
            const remembered = next[row + j] ?? -1;
            if (remembered < 0) continue;
            const cost = so + (step[base + j] ?? 0) + (multipliers[j] ?? 0);
            const to = higher + j * masks + remembered;
            if (cost < (value[to] ?? 0)) {
              value[to] = cost;
              from[to] = i * masks + mask;
            }
          }
        }
      }
    }
    return this.#wayBack(most);
  }

  #wayBack(most: number): { readonly way: readonly number[]; readonly cost: number } | null {
    const { size } = this.#ladder;
    const { masks } = this.#memories;
    const states = size * masks;
    const top = (size - 1) * states;
    let state = -1;
    let cost = NEVER;
    for (let s = 0; s < states; s++) {
      const value = this.#value[top + s] ?? 0;
      if (value < cost) {
        cost = value;
        state = s;
      }
    }
    if (state < 0 || cost > most) return null;
    const way: number[] = [];
    for (let rung = size - 1; rung >= 0; rung--) {
      way[rung] = Math.floor(state / masks);
      state = itemAt(this.#from, rung * states + state);
    }
    return { way, cost };
  }

  /** Down the ladder without memory. */
  #lookAhead(multipliers: Float64Array): void {
    const { size, step } = this.#ladder;
    const above = this.#above;
    above.fill(0, (size - 1) * size);
    for (let rung = size - 2; rung >= 0; rung--) {
      for (let i = 0; i < size; i++) {
        const onward = itemAt(this.#onward, rung * size + i);
        const base = (rung * size + i) * size;
        let least = NEVER;
        for (let n = 0; n < onward.length; n++) {
          const j = onward[n] ?? 0;
          const cost = (step[base + j] ?? 0) + (multipliers[j] ?? 0) + (above[(rung + 1) * size + j] ?? 0);
          if (cost < least) least = cost;
        }
        above[rung * size + i] = least;
        this.steps += onward.length;
      }
    }
  }

  /**
   * What is still to come from each state at least: `[rung * states + song * masks + mask]`, with multipliers, of the songs
   * above. Steps that were taken out are not taken.
   */
  ahead(multipliers: Float64Array): Float64Array {
    const { size, step } = this.#ladder;
    const { masks, masksOf, next } = this.#memories;
    const states = size * masks;
    const ahead = new Float64Array(size * states);
    for (let rung = size - 2; rung >= 0; rung--) {
      for (let i = 0; i < size; i++) {
        const at = rung * size + i;
        const onward = itemAt(this.#onward, at);
        for (let mask = 0; mask < itemAt(masksOf, i); mask++) {
          const row = (i * masks + mask) * size;
          let least = NEVER;
          for (let n = 0; n < onward.length; n++) {
            const j = onward[n] ?? 0;
            const remembered = next[row + j] ?? -1;
            if (remembered < 0) continue;
            const cost =
              (step[at * size + j] ?? 0) +
              (multipliers[j] ?? 0) +
              (ahead[(rung + 1) * states + j * masks + remembered] ?? 0);
            if (cost < least) least = cost;
          }
          ahead[rung * states + i * masks + mask] = least;
        }
        this.steps += itemAt(masksOf, i) * onward.length;
      }
    }
    return ahead;
  }

  /** Songs to which a song on a rung may still go. */
  onward(rung: number, song: number): Int32Array {
    return itemAt(this.#onward, rung * this.#ladder.size + song);
  }

  /**
   * Takes out the steps that cost more than `most` with all that must come before and after them; nothing that any way of at
   * most that cost takes is lost.
   */
  takeOut(multipliers: Float64Array, most: number): void {
    if (!this.cheapest(multipliers, most)) return;
    const { size, step } = this.#ladder;
    const { masks, masksOf, next } = this.#memories;
    const states = size * masks;
    const ahead = this.ahead(multipliers);
    for (let rung = 0; rung + 1 < size; rung++) {
      for (let i = 0; i < size; i++) {
        const at = rung * size + i;
        const least = new Float64Array(size).fill(NEVER);
        const onward = itemAt(this.#onward, at);
        for (let mask = 0; mask < itemAt(masksOf, i); mask++) {
          const so = this.#value[rung * states + i * masks + mask] ?? NEVER;
          if (so === NEVER) continue;
          const row = (i * masks + mask) * size;
          for (let n = 0; n < onward.length; n++) {
            const j = onward[n] ?? 0;
            const remembered = next[row + j] ?? -1;
            if (remembered < 0) continue;
            const up = (rung + 1) * states + j * masks + remembered;
            const cost = so + (step[at * size + j] ?? 0) + (multipliers[j] ?? 0) + (ahead[up] ?? 0);
            if (cost < (least[j] ?? 0)) least[j] = cost;
          }
        }
        this.#onward[at] = onward.filter((j) => (least[j] ?? 0) <= most);
      }
    }
  }
}

/**
 * A state that remembers more, and costs no less, than another of the same song is left out: the other can go wherever it can.
 *
 * @param least room for the least cost of each memory and all parts of it
 */
function dropDominated(value: Float64Array, at: number, masks: number, least: Float64Array): void {
  least[0] = value[at] ?? NEVER;
  for (let mask = 1; mask < masks; mask++) {
    let part = NEVER;
    for (let bits = mask; bits > 0; bits &= bits - 1) {
      const known = least[mask & ~(bits & -bits)] ?? NEVER;
      if (known < part) part = known;
    }
    const cost = value[at + mask] ?? NEVER;
    if (part <= cost) value[at + mask] = NEVER;
    least[mask] = Math.min(part, cost);
  }
}
