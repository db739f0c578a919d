import { itemAt } from '../base';
import type { Ticks } from '../time';

/** A stretch of time, its end outside. */
export interface Stretch {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
}

/** Stretches in order, those that touch or overlap made one. */
export function joinStretches(stretches: readonly Stretch[]): Stretch[] {
  const sorted = [...stretches].sort((a, b) => a.startTick - b.startTick);
  const joined: { startTick: Ticks; endTick: Ticks }[] = [];
  for (const { startTick, endTick } of sorted) {
    if (endTick <= startTick) continue;
    const last = joined[joined.length - 1];
    if (last && startTick <= last.endTick) last.endTick = Math.max(last.endTick, endTick);
    else joined.push({ startTick, endTick });
  }
  return joined;
}

/** What is left of the whole once some (ordered, not touching) stretches are taken out. */
export function without(whole: readonly Stretch[], taken: readonly Stretch[]): Stretch[] {
  const left: Stretch[] = [];
  let next = 0;
  for (const { startTick, endTick } of whole) {
    let from = startTick;
    while (next < taken.length && itemAt(taken, next).endTick <= startTick) next += 1;
    for (let i = next; i < taken.length; i++) {
      const hole = itemAt(taken, i);
      if (hole.startTick >= endTick) break;
      if (hole.startTick > from) left.push({ startTick: from, endTick: hole.startTick });
      from = Math.max(from, hole.endTick);
    }
    if (from < endTick) left.push({ startTick: from, endTick });
  }
  return left;
}

/** How many of the items have a value at or before a limit, given that values only grow. O(log n). */
export function countUpTo<T>(items: readonly T[], limit: number, value: (item: T) => number): number {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (value(itemAt(items, middle)) <= limit) low = middle + 1;
    else high = middle;
  }
  return low;
}
