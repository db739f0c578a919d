import { itemAt } from '../base';
import type { Ticks } from '../time';

interface Placed {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
}

/** The index of the first item that starts at a tick or later; items in order of their starts. O(log n). */
export const firstFrom = (items: readonly Pick<Placed, 'startTick'>[], tick: Ticks): number =>
  firstWhere(items, (item) => item.startTick >= tick);

/** The items that start in a stretch; items in order of their starts. */
export const startingIn = <T extends Pick<Placed, 'startTick'>>(
  items: readonly T[],
  from: Ticks,
  to: Ticks,
): readonly T[] => items.slice(firstFrom(items, from), firstFrom(items, to));

/** The items that share time with a stretch; items in order, none of which overlaps another. */
export const soundingIn = <T extends Placed>(items: readonly T[], from: Ticks, to: Ticks): readonly T[] =>
  items.slice(
    firstWhere(items, (item) => item.endTick > from),
    firstFrom(items, to),
  );

/** Where a list goes over from what does not hold to what does; its length: nowhere. */
function firstWhere<T>(items: readonly T[], holds: (item: T) => boolean): number {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (holds(itemAt(items, middle))) high = middle;
    else low = middle + 1;
  }
  return low;
}
