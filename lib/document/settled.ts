import type { Answer, Place } from '../song';
import { compare } from './order';

/** The place as a key: equal for the same place only. */
export const placeKey = (place: Place): string => JSON.stringify([place.passId, place.noteId, place.voiceId]);

/** In time order; ties by id. */
export const byTime = (
  a: { readonly at: number; readonly id: string },
  b: { readonly at: number; readonly id: string },
) => a.at - b.at || compare(a.id, b.id);

/**
 * Of all live answers, the one that stands at each place: the latest, ties by the greater id. Settling withdraws the answers it
 * saw, so there are others only where people settled one place at once; those are returned beside it. Both in time order.
 */
export function standing(answers: Iterable<Answer>): {
  readonly standing: readonly Answer[];
  readonly overruled: readonly Answer[];
} {
  const latest = new Map<string, Answer>();
  const overruled: Answer[] = [];
  for (const answer of [...answers].sort(byTime)) {
    const key = placeKey(answer.place);
    const before = latest.get(key);
    if (before) overruled.push(before);
    latest.set(key, answer);
  }
  return { standing: [...latest.values()].sort(byTime), overruled: overruled.sort(byTime) };
}
