import { itemAt, must } from '../base';
import type { Ladder } from './ladder';
import type { Layers } from './layers';

/** A state is one number below 2^53: a bit for each song, and the song it ends with. */
export const CLIMBS_UP_TO = 46;
const LASTS = 64;

/** A step over sets takes so many times as long as one over layers. */
const STEP_WEIGHT = 20;

interface State {
  readonly cost: number;
  /** The cost, and what must still come at least. */
  readonly atLeast: number;
  /** The state one rung below; -1 on the first. */
  readonly below: number;
}

/**
 * Every true way that costs at most a limit, rung after rung: the dynamic programming over subsets of `cheapestWay`, without the
 * states whose cost and what must still come (`Layers.ahead`) are more than the limit. Where a rung holds more states than there is
 * room for, the most hopeful ones go on, and nothing is proven any more.
 */
export class Climb {
  readonly #ladder: Ladder;
  readonly #layers: Layers;
  readonly #multipliers: Float64Array;
  readonly #ahead: Float64Array;
  readonly #room: number;
  readonly #rungs: Map<number, State>[] = [];
  /** Basic steps done; those over sets weigh more than others. */
  steps = 0;
  /** False once states were left out. */
  whole = true;

  /** @param room states of one rung */
  constructor(ladder: Ladder, layers: Layers, multipliers: Float64Array, room: number) {
    this.#ladder = ladder;
    this.#layers = layers;
    this.#multipliers = Float64Array.from(multipliers);
    this.#ahead = layers.ahead(multipliers);
    this.#room = room;
  }

  /**
   * One rung up: `higher` where there are more; `none` where no way (no hopeful one, if not `whole`) costs at most the limit; else the
   * cheapest way found.
   *
   * @param most the limit, with multipliers; it may fall from call to call
   */
  rise(most: number): 'higher' | 'none' | readonly number[] {
    const { size } = this.#ladder;
    const rung = this.#rungs.length;
    const states = rung === 0 ? this.#first(most) : this.#next(rung - 1, most);
    this.#rungs.push(this.#fitting(states));
    if (states.size === 0) return 'none';
    return rung + 1 < size ? 'higher' : this.#wayBack();
  }

  #fitting(states: Map<number, State>): Map<number, State> {
    if (states.size <= this.#room) return states;
    this.whole = false;
    const hopeful = [...states].sort((a, b) => a[1].atLeast - b[1].atLeast);
    return new Map(hopeful.slice(0, this.#room));
  }

  #first(most: number): Map<number, State> {
    const { size, start } = this.#ladder;
    const { masks } = this.#layers.memories;
    const states = new Map<number, State>();
    for (let i = 0; i < size; i++) {
      const cost = itemAt(start, i) + itemAt(this.#multipliers, i);
      const atLeast = cost + itemAt(this.#ahead, i * masks);
      if (atLeast <= most) states.set(2 ** i * LASTS + i, { cost, atLeast, below: -1 });
    }
    return states;
  }

  #next(rung: number, most: number): Map<number, State> {
    const { size, step } = this.#ladder;
    const { masks, remembers } = this.#layers.memories;
    const states = new Map<number, State>();
    for (const [below, { cost: so }] of itemAt(this.#rungs, rung)) {
      const i = below % LASTS;
      const set = (below - i) / LASTS;
      const onward = this.#layers.onward(rung, i);
      this.steps += STEP_WEIGHT * onward.length;
      for (let n = 0; n < onward.length; n++) {
        const j = onward[n] ?? 0;
        if (holds(set, j)) continue;
        const cost = so + (step[(rung * size + i) * size + j] ?? 0) + (this.#multipliers[j] ?? 0);
        const mask = maskOf(set, itemAt(remembers, j));
        const atLeast = cost + (this.#ahead[((rung + 1) * size + j) * masks + mask] ?? 0);
        if (atLeast > most) continue;
        const to = (set + 2 ** j) * LASTS + j;
        const known = states.get(to);
        if (known === undefined || known.cost > cost) states.set(to, { cost, atLeast, below });
      }
    }
    return states;
  }

  #wayBack(): readonly number[] {
    let state = -1;
    let least = Number.POSITIVE_INFINITY;
    for (const [each, { cost }] of itemAt(this.#rungs, this.#rungs.length - 1)) {
      if (cost >= least) continue;
      least = cost;
      state = each;
    }
    const way: number[] = [];
    for (let rung = this.#rungs.length - 1; rung >= 0; rung--) {
      way[rung] = state % LASTS;
      state = must(itemAt(this.#rungs, rung).get(state), 'a state of the way').below;
    }
    return way;
  }
}

/** Whether a set, a number of up to 46 bits, holds a song. */
function holds(set: number, song: number): boolean {
  return Math.floor(set / 2 ** song) % 2 === 1;
}

/** What a song remembers of a set: no true way goes back to any of it. */
function maskOf(set: number, remembered: readonly number[]): number {
  let mask = 0;
  for (let n = 0; n < remembered.length; n++) if (holds(set, remembered[n] ?? 0)) mask |= 1 << n;
  return mask;
}
