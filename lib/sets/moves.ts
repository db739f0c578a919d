import type { Ladder } from './ladder';

/** The longest stretch of songs that is moved as one. */
const LONGEST_STRETCH = 3;

/**
 * Moves stretches of a way elsewhere, as they are or turned round, wherever that helps; each to where it helps most. The way is
 * changed in place. What is between goes up or down by the stretch's length: sums of the way's own steps, taken that much higher or lower, give
 * the gain of each move at once.
 */
export function moveGains(
  ladder: Ladder,
  way: Int32Array,
): { readonly helped: boolean; readonly steps: number } {
  const { size } = ladder;
  const here = new Float64Array(size);
  const up = new Float64Array(size);
  const down = new Float64Array(size);
  let helped = false;
  let steps = 0;
  for (let length = 1; length <= Math.min(LONGEST_STRETCH, size - 1); length++) {
    let stale = true;
    for (let from = 0; from + length <= size; from++) {
      if (stale) {
        sumShifted(ladder, way, 0, here);
        sumShifted(ladder, way, length, up);
        sumShifted(ladder, way, -length, down);
        steps += 3 * size;
        stale = false;
      }
      let least = 0;
      let to = -1;
      let turned = false;
      for (let t = 0; t + length <= size; t++) {
        if (t === from) continue;
        for (let round = 0; round < (length > 1 ? 2 : 1); round++) {
          const gain = gainOf(ladder, way, from, length, t, round === 1, here, t < from ? up : down);
          if (gain < least) {
            least = gain;
            to = t;
            turned = round === 1;
          }
        }
      }
      steps += 2 * size * (length + 3);
      if (to < 0) continue;
      move(way, from, length, to, turned);
      stale = true;
      helped = true;
    }
  }
  return { helped, steps };
}

/** `sums[k]`: the way's first k steps, each taken `shift` rungs higher; 0 for those that would leave the ladder. */
function sumShifted({ size, step }: Ladder, way: Int32Array, shift: number, sums: Float64Array): void {
  sums[0] = 0;
  for (let rung = 0; rung + 1 < size; rung++) {
    const at = rung + shift;
    const cost =
      at < 0 || at + 1 >= size
        ? 0
        : (step[(at * size + (way[rung] ?? 0)) * size + (way[rung + 1] ?? 0)] ?? 0);
    sums[rung + 1] = (sums[rung] ?? 0) + cost;
  }
}

/** A step's cost; below the first rung, the start's. */
function stepOf({ size, start, step }: Ladder, rung: number, from: number, to: number): number {
  return rung < 0 ? (start[to] ?? 0) : (step[(rung * size + from) * size + to] ?? 0);
}

/** What the way costs after a move, less what it costs now. */
function gainOf(
  ladder: Ladder,
  way: Int32Array,
  from: number,
  length: number,
  to: number,
  turned: boolean,
  here: Float64Array,
  shifted: Float64Array,
): number {
  const { size, start } = ladder;
  const end = from + length;
  const low = Math.min(from, to);
  const high = Math.max(from, to) + length;
  let gain = -((here[Math.min(high, size - 1)] ?? 0) - (here[Math.max(low - 1, 0)] ?? 0));
  if (low === 0) gain -= start[way[0] ?? 0] ?? 0;
  const first = way[turned ? end - 1 : from] ?? 0;
  const last = way[turned ? from : end - 1] ?? 0;
  for (let i = 0; i + 1 < length; i++) {
    const a = turned ? end - 1 - i : from + i;
    gain += stepOf(ladder, to + i, way[a] ?? 0, way[turned ? a - 1 : a + 1] ?? 0);
  }
  if (to < from) {
    gain +=
      stepOf(ladder, to - 1, way[to - 1] ?? 0, first) + stepOf(ladder, to + length - 1, last, way[to] ?? 0);
    gain += (shifted[from - 1] ?? 0) - (shifted[to] ?? 0);
    if (end < size) gain += stepOf(ladder, end - 1, way[from - 1] ?? 0, way[end] ?? 0);
  } else {
    gain += stepOf(ladder, from - 1, way[from - 1] ?? 0, way[end] ?? 0);
    gain += (shifted[to + length - 1] ?? 0) - (shifted[end] ?? 0);
    gain += stepOf(ladder, to - 1, way[to + length - 1] ?? 0, first);
    if (to + length < size) gain += stepOf(ladder, to + length - 1, last, way[to + length] ?? 0);
  }
  return gain;
}

function move(way: Int32Array, from: number, length: number, to: number, turned: boolean): void {
  const stretch = way.slice(from, from + length);
  if (turned) stretch.reverse();
  if (to < from) way.copyWithin(to + length, to, from);
  else way.copyWithin(from, from + length, to + length);
  stretch.forEach((song, i) => {
    way[to + i] = song;
  });
}
