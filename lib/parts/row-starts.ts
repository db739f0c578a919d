import { itemAt } from '../base';
import type { Ticks } from '../time';
import type { Segment } from './lines';

/** What the rows from a segment on come to, and where the second of them begins. */
interface Cut {
  readonly rows: number;
  readonly torn: number;
  readonly squares: number;
  readonly next: number;
}

/**
 * Where a line's rows begin, as indexes of its segments, the first of them 0.
 *
 * Model: no row is wider than the room, but for a segment that is so alone. Of the ways to do that, those with the fewest rows; of these, those
 * that tear the fewest fills from one row to the next; of these, the one whose rows are most alike in length (least sum of squares). Exact, by
 * dynamic programming from the last segment on. O(segments²).
 *
 * @param isTorn whether a row that begins with a segment tears a fill
 */
export function rowStarts(
  widths: readonly number[],
  room: number,
  isTorn: (at: number) => boolean,
): readonly number[] {
  const count = widths.length;
  const best: Cut[] = [];
  best[count] = { rows: 0, torn: 0, squares: 0, next: count };
  for (let from = count - 1; from >= 0; from--) {
    let width = 0;
    let chosen: Cut | null = null;
    for (let next = from + 1; next <= count; next++) {
      width += itemAt(widths, next - 1);
      if (width > room && next > from + 1) break;
      const after = itemAt(best, next);
      const cut: Cut = {
        rows: after.rows + 1,
        torn: after.torn + (next < count && isTorn(next) ? 1 : 0),
        squares: after.squares + width * width,
        next,
      };
      if (chosen === null || isBetter(cut, chosen)) chosen = cut;
    }
    if (chosen) best[from] = chosen;
  }
  const starts: number[] = [];
  for (let at = 0; at < count; at = itemAt(best, at).next) starts.push(at);
  return count === 0 ? [0] : starts;
}

const isBetter = (one: Cut, other: Cut): boolean =>
  one.rows !== other.rows
    ? one.rows < other.rows
    : one.torn !== other.torn
      ? one.torn < other.torn
      : one.squares < other.squares;

/**
 * Whether a fill has notes on both sides of a segment's beginning.
 *
 * @param written the fills whose notes are written in a segment
 */
export function tearsFill(
  segments: readonly Segment[],
  at: number,
  written: (segment: Segment) => readonly (readonly { readonly tick: Ticks }[])[],
): boolean {
  const [before, after] = [segments[at - 1], segments[at]];
  if (!before || !after) return false;
  return written(after).some(
    (notes) =>
      notes.some(({ tick }) => tick >= after.startTick && tick < after.endTick) &&
      notes.some(({ tick }) => tick >= before.startTick && tick < before.endTick),
  );
}
