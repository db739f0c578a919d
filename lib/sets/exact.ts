import { itemAt } from '../base';
import { type Ladder, wayCost } from './ladder';

/** Up to so many songs that are not held, the cheapest order is found for certain: 2^16 × 16 numbers of eight bytes. */
export const EXACT_UP_TO = 16;

/**
 * The cheapest way up a ladder, exact.
 *
 * Model: dynamic programming over subsets. `best[S][j]` is the least cost of standing on the first |S| rungs with the songs of S,
 * song j on the last of them; the rung is |S|, so costs of a place and breaks come in for nothing. O(2^n n²) time, O(2^n n) memory.
 * Source, from memory: M. Held and R. M. Karp, 'A dynamic programming approach to sequencing problems', 1962.
 */
export function cheapestWay(ladder: Ladder): { readonly way: readonly number[]; readonly cost: number } {
  const { size, start, step } = ladder;
  if (size === 0) return { way: [], cost: ladder.constant };
  const all = 2 ** size - 1;
  const best = new Float64Array((all + 1) * size).fill(Number.POSITIVE_INFINITY);
  const rungs = rungsOf(all);
  for (let j = 0; j < size; j++) best[(1 << j) * size + j] = itemAt(start, j);
  for (let set = 1; set <= all; set++) {
    const rung = rungs[set] ?? 0;
    if (rung < 2) continue;
    const base = (rung - 2) * size * size;
    for (let j = 0; j < size; j++) {
      if (!(set & (1 << j))) continue;
      const rest = set ^ (1 << j);
      let least = Number.POSITIVE_INFINITY;
      for (let i = 0; i < size; i++) {
        if (!(rest & (1 << i))) continue;
        const cost = (best[rest * size + i] ?? 0) + (step[base + i * size + j] ?? 0);
        if (cost < least) least = cost;
      }
      best[set * size + j] = least;
    }
  }
  const way = wayBack(ladder, best, all);
  return { way, cost: wayCost(ladder, way) };
}

/** From the top down: the song whose cost gave the least; the first of them on a tie. */
function wayBack({ size, step }: Ladder, best: Float64Array, all: number): number[] {
  const way: number[] = [];
  let set = all;
  for (let rung = size - 1; rung >= 0; rung--) {
    const above = way[0];
    let chosen = -1;
    let least = Number.POSITIVE_INFINITY;
    for (let j = 0; j < size; j++) {
      if (!(set & (1 << j))) continue;
      const up = above === undefined ? 0 : itemAt(step, (rung * size + j) * size + above);
      const cost = itemAt(best, set * size + j) + up;
      if (chosen < 0 || cost < least) {
        chosen = j;
        least = cost;
      }
    }
    way.unshift(chosen);
    set ^= 1 << chosen;
  }
  return way;
}

/** How many songs each subset has. */
function rungsOf(all: number): Uint8Array {
  const rungs = new Uint8Array(all + 1);
  for (let set = 1; set <= all; set++) rungs[set] = (rungs[set >> 1] ?? 0) + (set & 1);
  return rungs;
}
