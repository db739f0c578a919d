import { generateKeyBetween, generateNKeysBetween } from 'fractional-indexing';
import { itemAt } from '../base';

/** An item in an order that people change: by position, ties (two people put something in one place at once) by id. */
export interface Ordered {
  readonly id: string;
  readonly position: string;
}

export const byPosition = (a: Ordered, b: Ordered): number =>
  compare(a.position, b.position) || compare(a.id, b.id);

/** By code units: the same everywhere, whatever the language of the device. */
export const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Signs; some 300 items put in one after another at one place come to this. Then the whole list is given new positions. */
const LONGEST = 50;

/** Positions for a new list. */
export const firstPositions = (count: number): readonly string[] => generateNKeysBetween(null, null, count);

/** Whether a text can be a position: the key of a fraction, as the library makes them. */
export function isPosition(value: unknown): value is string {
  if (
    typeof value !== 'string' ||
    value.length === 0 ||
    value.length > 200 ||
    !/^[0-9A-Za-z]+$/.test(value)
  ) {
    return false;
  }
  try {
    generateKeyBetween(value, null);
    generateKeyBetween(null, value);
    return true;
  } catch {
    return false;
  }
}

/**
 * The positions to write so that an item stands at an index among the others (which are in order and do not hold it).
 * Mostly its own alone; where its neighbours share one position, those after it are given new ones too.
 *
 * @param index from 0 to the number of others; beyond either end is that end
 */
export function placeAt(others: readonly Ordered[], index: number, id: string): readonly Ordered[] {
  const at = Math.max(0, Math.min(others.length, Math.trunc(index)));
  const before = others[at - 1]?.position ?? null;
  let end = at;
  while (before !== null && end < others.length && itemAt(others, end).position === before) end += 1;
  const after = others[end]?.position ?? null;
  const moved = [id, ...others.slice(at, end).map((other) => other.id)];
  const positions = generateNKeysBetween(before, after, moved.length);
  if (positions.some((position) => position.length > LONGEST)) {
    const all = [
      ...others.slice(0, at).map((other) => other.id),
      ...moved,
      ...others.slice(end).map((other) => other.id),
    ];
    const fresh = firstPositions(all.length);
    return all.map((each, i) => ({ id: each, position: itemAt(fresh, i) }));
  }
  return moved.map((each, i) => ({ id: each, position: itemAt(positions, i) }));
}
