import type { Extent, Holding, Place } from '../song';
import type { Ticks } from '../time';
import type { MisfitRule } from './standing';

/** Kinds of clashes beside answers that no longer fit. */
export const CLASH_RULES = [
  'two fills at once',
  'past its guard',
  'nobody on the chop',
  'unplayable shift',
  'over comfort',
  'two places',
  'not at the microphone',
  'same register',
] as const;
export type ClashRule = (typeof CLASH_RULES)[number] | MisfitRule;

/** What would mend a clash, as an edit of what is settled. */
export type MendEdit =
  | { readonly kind: 'settle'; readonly place: Place; readonly extent: Extent; readonly holding: Holding }
  | { readonly kind: 'unsettle'; readonly place: Place }
  /** The player's best offer for the space as it is now; ad lib where nothing fits. */
  | { readonly kind: 'anew'; readonly place: Place; readonly spaceId: string; readonly playerId: string };

/** Something in the arrangement that cannot be played or heard as written, with its place and its mend. */
export interface Clash {
  readonly rule: ClashRule;
  readonly place: Place;
  /** Null where the space is gone. */
  readonly spaceId: string | null;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly bar: number;
  readonly beat: number;
  /** By id, whoever is in it, the holder first. */
  readonly players: readonly string[];
  /** A sentence's worth, with names. */
  readonly detail: string;
  readonly mend: { readonly says: string; readonly edit: MendEdit };
}
