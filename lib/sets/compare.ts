import { itemAt, type Reason } from '../base';
import type { EveningModel } from './model';
import { TENTHS } from './terms';
import type { Evening, OrderCosts } from './types';

/** Two orders of one evening beside one another. */
export interface Comparison {
  readonly before: OrderCosts;
  readonly after: OrderCosts;
  /** What the second costs more (above 0) or less than the first, rule by rule, the largest first. */
  readonly differences: readonly Reason[];
  /** The fewest songs that have to be moved to come from the first to the second. */
  readonly moved: readonly string[];
}

export function compareOrders(
  model: EveningModel,
  first: readonly string[],
  second: readonly string[],
): Comparison {
  const [before, after] = [model.costsOf(first), model.costsOf(second)];
  const [old, fresh] = [byRule(before), byRule(after)];
  const differences = [...new Set([...old.keys(), ...fresh.keys()])]
    .map((rule): Reason => {
      const [from, to] = [old.get(rule) ?? 0, fresh.get(rule) ?? 0];
      return { rule, weight: (to - from) / TENTHS, detail: `${from / TENTHS} before, ${to / TENTHS} after` };
    })
    .filter(({ weight }) => weight !== 0)
    .sort((a, b) => Math.abs(b.weight) - Math.abs(a.weight));
  return { before, after, differences, moved: movedBetween(first, second) };
}

function byRule({ between, places, missed }: OrderCosts): Map<string, number> {
  const sums = new Map<string, number>();
  for (const { rule, weight } of [...[...between, ...places].flatMap(({ reasons }) => reasons), ...missed]) {
    sums.set(rule, (sums.get(rule) ?? 0) + Math.round(weight * TENTHS));
  }
  return sums;
}

/** All songs but a longest run of them that stand in the same order in both. */
function movedBetween(first: readonly string[], second: readonly string[]): string[] {
  const places = second.map((id) => first.indexOf(id));
  const longest: number[] = [];
  const before: number[] = [];
  places.forEach((place, i) => {
    longest[i] = 1;
    before[i] = -1;
    for (let j = 0; j < i; j++) {
      if (itemAt(places, j) < place && itemAt(longest, j) + 1 > itemAt(longest, i)) {
        longest[i] = itemAt(longest, j) + 1;
        before[i] = j;
      }
    }
  });
  const stay = new Set<number>();
  for (let i = longest.indexOf(Math.max(0, ...longest)); i >= 0; i = itemAt(before, i)) stay.add(i);
  return second.filter((_, i) => !stay.has(i));
}

/** The evening with some songs held where they stand in an order; the others are free, but for those held before. */
export function holdAt(evening: Evening, order: readonly string[], songIds: readonly string[]): Evening {
  const songs = evening.songs.map((song) =>
    songIds.includes(song.id) ? { ...song, place: order.indexOf(song.id) } : song,
  );
  return { ...evening, songs };
}
