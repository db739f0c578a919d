import { itemAt } from '../base';
import { type EveningModel, tableCost } from './model';
import { TENTHS } from './terms';

/** What could follow a song instead of what does. */
export interface Instead {
  /** The song that would follow. */
  readonly songId: string;
  /** What the whole order would cost more (above 0) or less. */
  readonly more: number;
  readonly order: readonly string[];
}

/**
 * The next best for each two neighbours: the cheapest other order in which another song follows the first of the two within its
 * set (null where there is none).
 *
 * Model: orders that are one change away, either one song put at another place or two songs changed for one another; songs held
 * in place stay, medleys stay whole, breaks stay at their places. Costs are those of the evening's model, over the whole order, so what
 * is torn apart elsewhere counts. All such orders are tried: O(n³).
 *
 * @returns one for each song but the last, in order
 */
export function nextBest(model: EveningModel, order: readonly string[]): readonly (Instead | null)[] {
  const { songs } = model.evening;
  const { tables } = model;
  const numbers = order.map((id) => songs.findIndex((song) => song.id === id));
  const now = tableCost(tables, numbers);
  const follower = new Map(numbers.map((song, i) => [song, numbers[i + 1]]));
  const best = new Map<number, { readonly cost: number; readonly changed: readonly number[] }>();
  for (const changed of oneChangeAway(numbers)) {
    const moves = (song: number, i: number) => song !== numbers[i] && !mayStand(itemAt(songs, song).place, i);
    if (changed.some(moves)) continue;
    const cost = tableCost(tables, changed);
    if (cost === Number.POSITIVE_INFINITY) continue;
    changed.forEach((song, i) => {
      const next = changed[i + 1];
      if (next === undefined || next === follower.get(song) || tables.breakAfter[i]) return;
      if (cost < (best.get(song)?.cost ?? Number.POSITIVE_INFINITY)) best.set(song, { cost, changed });
    });
  }
  return numbers.slice(0, -1).map((song) => {
    const found = best.get(song);
    if (!found) return null;
    const ids = found.changed.map((each) => itemAt(songs, each).id);
    return {
      songId: itemAt(ids, found.changed.indexOf(song) + 1),
      more: (found.cost - now) / TENTHS,
      order: ids,
    };
  });
}

const mayStand = (place: number | null, at: number): boolean => place === null || place === at;

function* oneChangeAway(order: readonly number[]): Generator<readonly number[]> {
  for (let from = 0; from < order.length; from++) {
    const others = order.toSpliced(from, 1);
    for (let to = 0; to < order.length; to++) {
      if (to !== from) yield others.toSpliced(to, 0, itemAt(order, from));
      // Next to each other, changing two songs is moving one.
      if (to <= from + 1) continue;
      yield order.with(from, itemAt(order, to)).with(to, itemAt(order, from));
    }
  }
}
