import { itemAt } from '../base';
import { CLIMBS_UP_TO, Climb } from './climb';
import { type Ladder, wayCost } from './ladder';
import { HAIR, Layers } from './layers';
import { withCycles } from './memories';

/** Room for the tables of what is remembered, in numbers. */
const LARGEST_TABLE = 2_000_000;
/** Most songs that one song remembers. */
const MOST_REMEMBERED = 10;
/** The multipliers' step is halved after so many tries that were not worth it: at first, when tries are cheap, and later. */
const FIRST_PATIENCE = 30;
const LATER_PATIENCE = 6;
/** How much of the last try's direction the next one keeps. */
const CARRY = 0.7;
/** States of a rung while looking for a better way, and for the last climb. */
const HOPEFUL = 600;
const ROOM = 40_000;
/** So many growths of memory between two looks. */
const LOOK_EVERY = 3;
/** A step here takes so many times as long as one of the search. */
const STEP_WEIGHT = 4;
/** A try is worth it where the bound comes up by this share of the best way's cost. */
const WORTH = 0.0003;
const FIRST_STEP = 1;
/** After songs have come to remember more, the multipliers are nearly right already. */
const LATER_STEP = 0.3;
const SMALLEST_STEP = 0.04;

/**
 * A proven lower bound on the ways up a ladder.
 *
 * Model: a way may stand on a song more than once, as long as the songs in between do not remember it; each song pays or
 * earns a multiplier whenever it is stood on, so that the cheapest such way is drawn toward each song once. For any multipliers the
 * cheapest way of this wider kind costs no more than any true way. Multipliers go along the visits too many or too few; then songs on
 * the cycles of the cheapest way are remembered by those within; and a step that no way better than the best known can take
 * is taken out, which changes nothing about what can still be better. Where songs can remember no more, the true ways that could still be better
 * are counted out rung after rung, as long as they are few. All costs are whole tenths, so the bound is rounded up.
 *
 * Sources, from memory: J.-C. Picard and M. Queyranne, 'The time-dependent traveling salesman problem', 1978 (the layers);
 * M. Held and R. M. Karp, 'The traveling-salesman problem and minimum spanning trees: part II', 1971 (the multipliers);
 * R. Baldacci, A. Mingozzi and R. Roberti, 'New route relaxation and pricing strategies for the vehicle routing problem', 2011 (what
 * songs remember).
 */
export class WayBound {
  readonly #ladder: Ladder;
  readonly #layers: Layers;
  readonly #multipliers: Float64Array;
  /** Those that gave the best bound with the present memories, what they gave, and its way. */
  readonly #kept: Float64Array;
  readonly #direction: Float64Array;
  #bestHere = Number.NEGATIVE_INFINITY;
  #bestWay: readonly number[] = [];
  #stepSize = FIRST_STEP;
  #patience = FIRST_PATIENCE;
  #tries = 0;
  /** The best bound so far, in tenths. */
  bound = Number.NEGATIVE_INFINITY;
  /** A true way better than the one known, where the bound came upon one. */
  found: { readonly way: readonly number[]; readonly cost: number } | null = null;
  #climb: Climb | null = null;
  #climbed = 0;
  #growths = 0;
  #gaveUpAt = Number.NEGATIVE_INFINITY;
  /** True where nothing more can be proven this way. */
  done = false;

  constructor(ladder: Ladder) {
    this.#ladder = ladder;
    this.#layers = new Layers(ladder);
    this.#multipliers = new Float64Array(ladder.size);
    this.#direction = new Float64Array(ladder.size);
    this.#kept = new Float64Array(ladder.size);
  }

  /** Basic steps done, as the search counts them. */
  get steps(): number {
    return STEP_WEIGHT * (this.#layers.steps + this.#climbed + (this.#climb?.steps ?? 0));
  }

  /**
   * One more try: better multipliers, or, where they have settled, songs that remember more.
   *
   * @param upper the cost of the best way known; only ways that cost less are looked for
   */
  again(upper: number): void {
    if (this.hopes(upper)) this.#startAgain(upper);
    if (this.done) return;
    if (this.#climb) {
      this.#climbOn(this.#climb, upper);
      return;
    }
    const base = this.#base();
    const found = this.#layers.cheapest(this.#multipliers, upper - 1 - base + HAIR);
    if (!found) {
      this.#prove(upper, upper);
      return;
    }
    const cost = found.cost + base;
    this.#prove(cost, upper);
    this.#tries += 1;
    if (cost > this.#bestHere + HAIR) {
      if (cost > this.#bestHere + WORTH * upper) this.#tries = 0;
      this.#bestHere = cost;
      this.#bestWay = found.way;
      this.#kept.set(this.#multipliers);
    }
    if (this.#tries > this.#patience) {
      this.#stepSize /= 2;
      this.#tries = 0;
      this.#multipliers.set(this.#kept);
      this.#direction.fill(0);
      if (this.#stepSize < SMALLEST_STEP) this.#remember(upper);
      return;
    }
    this.#change(found.way, upper - cost);
  }

  /** The constant, and what each song's multiplier gives back for the one time that it is stood on. */
  #base(): number {
    return this.#multipliers.reduce((sum, multiplier) => sum - multiplier, this.#ladder.constant);
  }

  #prove(cost: number, upper: number): void {
    this.bound = Math.max(this.bound, Math.min(upper, Math.ceil(cost - HAIR)));
    if (this.bound >= upper) this.done = true;
  }

  /** Songs stood on too often become dearer, those left out cheaper. */
  #change(way: readonly number[], distance: number): void {
    const { size } = this.#ladder;
    const visits = new Int32Array(size);
    for (const song of way) visits[song] = itemAt(visits, song) + 1;
    if (visits.every((count) => count === 1)) {
      // A true way: nothing of this kind is cheaper, and its cost with multipliers is its own.
      this.found = this.#true(way);
      this.bound = this.found.cost;
      this.done = true;
      return;
    }
    // Visits of a few tries together: one try alone swings from one side to the other.
    let length = 0;
    for (let i = 0; i < size; i++) {
      const way = itemAt(visits, i) - 1 + CARRY * itemAt(this.#direction, i);
      this.#direction[i] = way;
      length += way * way;
    }
    const by = (this.#stepSize * Math.max(1, distance)) / length;
    for (let i = 0; i < size; i++) {
      this.#multipliers[i] = itemAt(this.#multipliers, i) + by * itemAt(this.#direction, i);
    }
  }

  /**
   * The last resort: every true way that could still be better, rung after rung. Where they are too many, only hopeful ones, and then
   * nothing is proven.
   */
  #climbOn(climb: Climb, upper: number): void {
    const climbed = climb.rise(upper - 1 - this.#base() + HAIR);
    if (climbed === 'higher') return;
    this.done = true;
    this.#gaveUpAt = climb.whole ? Number.NEGATIVE_INFINITY : upper;
    if (climbed !== 'none') this.found = this.#true(climbed);
    if (climb.whole) this.bound = Math.min(upper, this.found?.cost ?? upper);
  }

  /** True where it gave up, and a better way has been found since: less is left to count out. */
  hopes(upper: number): boolean {
    return this.done && upper < this.#gaveUpAt;
  }

  #startAgain(upper: number): void {
    this.done = false;
    this.#climbed += this.#climb?.steps ?? 0;
    this.#climb = null;
    this.#remember(upper);
  }

  /** A few hopeful ways at once, for a better way to prove against. */
  #lookUp(upper: number): void {
    if (this.#ladder.size > CLIMBS_UP_TO) return;
    const climb = new Climb(this.#ladder, this.#layers, this.#multipliers, HOPEFUL);
    const most = upper - 1 - this.#base() + HAIR;
    let climbed = climb.rise(most);
    while (climbed === 'higher') climbed = climb.rise(most);
    this.#climbed += climb.steps;
    if (climbed !== 'none') this.found = this.#true(climbed);
    if (!climb.whole) return;
    this.bound = Math.min(upper, this.found?.cost ?? upper);
    this.done = true;
  }

  #true(way: readonly number[]): { readonly way: readonly number[]; readonly cost: number } {
    return { way, cost: wayCost(this.#ladder, way) };
  }

  #remember(upper: number): void {
    const { size } = this.#ladder;
    const base = this.#base();
    this.#layers.takeOut(this.#multipliers, upper - 1 - base + HAIR);
    this.#growths += 1;
    if (this.#growths % LOOK_EVERY === 0) this.#lookUp(upper);
    if (this.done) return;
    const most = Math.min(MOST_REMEMBERED, Math.floor(Math.log2(LARGEST_TABLE / (size * size))));
    const more = withCycles(this.#layers.memories, this.#bestWay, most);
    if (!more) {
      if (size > CLIMBS_UP_TO) this.done = true;
      else this.#climb = new Climb(this.#ladder, this.#layers, this.#multipliers, ROOM);
      return;
    }
    this.#layers.memories = more;
    this.#bestHere = Number.NEGATIVE_INFINITY;
    this.#stepSize = LATER_STEP;
    this.#patience = LATER_PATIENCE;
    this.#tries = 0;
  }
}
