import { FAMILY_DISTANCE, MIN_DISTANCE } from './costs';
import type { Offer } from './types';

type Compared = Pick<Offer, 'family' | 'notes'>;

/**
 * How different two fills are, from 0 (the same) to 1: the share of the longer one's notes that the other does not
 * have at the same time, with the same pitch, on the same string; another family adds `FAMILY_DISTANCE`, to 1 at most.
 * It is symmetric, and 0 only for the same notes in one family.
 */
export function distanceOf(a: Compared, b: Compared): number {
  const events = (fill: Compared) =>
    new Set(fill.notes.map((note) => `${note.tick} ${note.midi} ${note.string}`));
  const first = events(a);
  const second = events(b);
  let shared = 0;
  for (const event of first) if (second.has(event)) shared += 1;
  const longer = Math.max(first.size, second.size);
  const apart = longer === 0 ? 0 : 1 - shared / longer;
  return Math.min(1, apart + (a.family === b.family ? 0 : FAMILY_DISTANCE));
}

/**
 * The first so many of a list, best first, of which no two are closer than `MIN_DISTANCE`: the best of each
 * family, then the others. Greedy: exact for the order of taking, not for any sum.
 *
 * @param wanted offers of the list that are taken in any case (as many as the count allows), each where its score puts it
 */
export function choose<T extends Compared & { readonly score: number }>(
  offers: readonly T[],
  count: number,
  wanted: readonly T[] = [],
): readonly T[] {
  const byScore = offers
    .map((offer, index) => ({ offer, index }))
    .sort((a, b) => b.offer.score - a.offer.score || a.index - b.index)
    .map(({ offer }) => offer);
  const taken: T[] = [];
  const waiting = wanted.slice(0, count);
  const take = (offer: T) => {
    const at = waiting.indexOf(offer);
    if (at >= 0) waiting.splice(at, 1);
    if (taken.length + waiting.length >= count || taken.includes(offer)) return;
    const others = [...taken, ...waiting];
    if (at >= 0 || others.every((other) => distanceOf(other, offer) >= MIN_DISTANCE)) taken.push(offer);
  };
  for (const offer of byScore)
    if (waiting.includes(offer) || !taken.some((other) => other.family === offer.family)) take(offer);
  for (const offer of byScore) take(offer);
  return taken;
}
