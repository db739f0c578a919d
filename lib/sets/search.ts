import { itemAt, type Random } from '../base';
import { type Ladder, wayCost } from './ladder';
import { moveGains } from './moves';

/** A try that costs at most by this share more than the last is gone on from: so the search climbs out of hollows. */
const LENIENCE = 0.03;
/** After so many tries without a better way it goes on from the best one. */
const PATIENCE = 200;

/**
 * A local search for a cheap way up a ladder: songs are swapped, stretches moved elsewhere (also turned round) or turned
 * round where they are, until nothing helps; then the way is shaken and mended again. Not exact: what it finds is
 * an upper bound. Source, from memory: the neighbourhoods are the usual Or-opt and 2-opt; the shaking is 'iterated local search'.
 */
export class WaySearch {
  readonly #ladder: Ladder;
  readonly #random: Random;
  /** Basic steps done: arcs looked at. The unit in which effort is limited, the same on every machine. */
  steps = 0;
  best: Int32Array;
  /** The way that the next try starts from. */
  #here: Int32Array;
  #hereCost: number;
  #since = 0;
  cost: number;

  constructor(ladder: Ladder, random: Random) {
    this.#ladder = ladder;
    this.#random = random;
    this.best = this.#mended(this.#greedy());
    this.cost = wayCost(ladder, this.best);
    this.#here = this.best;
    this.#hereCost = this.cost;
  }

  /** One more try. */
  again(): void {
    if (this.#ladder.size < 3) return;
    const way = this.#mended(this.#shaken());
    const cost = wayCost(this.#ladder, way);
    this.#since += 1;
    if (cost < this.cost) {
      this.best = way;
      this.cost = cost;
      this.#since = 0;
    }
    if (cost <= this.#hereCost + LENIENCE * this.#random() * Math.abs(this.cost)) {
      this.#here = way;
      this.#hereCost = cost;
    }
    if (this.#since % PATIENCE === PATIENCE - 1) {
      this.#here = this.best;
      this.#hereCost = this.cost;
    }
  }

  /** A way that was found elsewhere. */
  take({ way, cost }: { readonly way: readonly number[]; readonly cost: number }): void {
    if (cost >= this.cost) return;
    this.best = this.#mended(Int32Array.from(way));
    this.cost = wayCost(this.#ladder, this.best);
  }

  /** Rung after rung the song that costs least. */
  #greedy(): Int32Array {
    const { size, start, step } = this.#ladder;
    const way = new Int32Array(size);
    const left = new Set(Array.from({ length: size }, (_, i) => i));
    for (let rung = 0; rung < size; rung++) {
      let chosen = -1;
      let least = Number.POSITIVE_INFINITY;
      for (const song of left) {
        const cost =
          rung === 0
            ? itemAt(start, song)
            : itemAt(step, ((rung - 1) * size + itemAt(way, rung - 1)) * size + song);
        if (chosen < 0 || cost < least) {
          chosen = song;
          least = cost;
        }
      }
      this.steps += left.size;
      way[rung] = chosen;
      left.delete(chosen);
    }
    return way;
  }

  /** Two stretches next to each other change places, or a few songs do. */
  #shaken(): Int32Array {
    const { size } = this.#ladder;
    const way = Int32Array.from(this.#here);
    if (size >= 6 && this.#random() < 0.6) {
      const width = Math.min(size, 4 + Math.floor(this.#random() * Math.min(size, 24)));
      const from = Math.floor(this.#random() * (size - width + 1));
      const turn = 1 + Math.floor(this.#random() * (width - 1));
      const stretch = way.slice(from, from + width);
      for (let i = 0; i < width; i++) way[from + i] = itemAt(stretch, (i + turn) % width);
      if (this.#random() < 0.5) return way;
    }
    const swaps = 1 + Math.floor(this.#random() * 3);
    for (let i = 0; i < swaps; i++) {
      swap(way, Math.floor(this.#random() * size), Math.floor(this.#random() * size));
    }
    return way;
  }

  #mended(way: Int32Array): Int32Array {
    while (this.#moved(way) || this.#swapped(way) || this.#turned(way));
    return way;
  }

  #moved(way: Int32Array): boolean {
    const { steps, helped } = moveGains(this.#ladder, way);
    this.steps += steps;
    return helped;
  }

  /** What a stretch of rungs costs, with the steps into and out of it. */
  #costOver(way: Int32Array, from: number, to: number): number {
    const { size, start, step } = this.#ladder;
    let cost = from === 0 ? (start[way[0] ?? 0] ?? 0) : 0;
    const last = Math.min(size - 1, to + 1);
    for (let rung = Math.max(1, from); rung <= last; rung++) {
      cost += step[((rung - 1) * size + (way[rung - 1] ?? 0)) * size + (way[rung] ?? 0)] ?? 0;
    }
    this.steps += last - from + 1;
    return cost;
  }

  /** What is next to two rungs. */
  #costAround(way: Int32Array, a: number, b: number): number {
    if (b - a <= 2) return this.#costOver(way, a, b);
    return this.#costOver(way, a, a) + this.#costOver(way, b, b);
  }

  #swapped(way: Int32Array): boolean {
    const { size } = this.#ladder;
    let helped = false;
    for (let a = 0; a < size; a++) {
      for (let b = a + 1; b < size; b++) {
        const old = this.#costAround(way, a, b);
        swap(way, a, b);
        if (this.#costAround(way, a, b) < old) helped = true;
        else swap(way, a, b);
      }
    }
    return helped;
  }

  #turned(way: Int32Array): boolean {
    const { size } = this.#ladder;
    let helped = false;
    for (let from = 0; from < size; from++) {
      for (let to = from + 3; to < size; to++) {
        const old = this.#costOver(way, from, to);
        turn(way, from, to);
        if (this.#costOver(way, from, to) < old) helped = true;
        else turn(way, from, to);
      }
    }
    return helped;
  }
}

function swap(way: Int32Array, a: number, b: number): void {
  const song = way[a] ?? 0;
  way[a] = way[b] ?? 0;
  way[b] = song;
}

function turn(way: Int32Array, from: number, to: number): void {
  for (let a = from, b = to; a < b; a++, b--) swap(way, a, b);
}
