import type { Arrangement } from '../parts';
import type { Place, Player, Song } from '../song';

export type ChangeRule = 'head' | 'order' | 'roles' | 'music' | 'players' | 'answers' | 'said' | 'other';

/** One thing that is otherwise than before. */
export interface Change {
  readonly rule: ChangeRule;
  /** Who did it, as far as the song says; null: it does not. */
  readonly by: string | null;
  /** Without a full stop. */
  readonly sentence: string;
  /** Where to look, by a place in the song as it is now; null: nowhere in particular. */
  readonly place: Place | null;
}

/** The two states with what is computed from them, for those who say what changed. */
export interface Compared {
  readonly before: Song;
  readonly now: Song;
  readonly was: Arrangement;
  readonly is: Arrangement;
  readonly players: readonly Player[];
}

/** Whether two plain values say the same, in whatever order they say it. */
export const same = (one: unknown, other: unknown): boolean =>
  one === other || plainly(one) === plainly(other);

/** A plain value as text that does not hang on the order of its fields. */
export const plainly = (value: unknown): string =>
  JSON.stringify(value, (_field, inside: unknown) =>
    typeof inside === 'object' && inside !== null && !Array.isArray(inside)
      ? Object.fromEntries(Object.entries(inside).sort(([a], [b]) => (a < b ? -1 : 1)))
      : inside,
  ) ?? '';
