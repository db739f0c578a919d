import type { Reason } from '../base';
import type { Offer } from '../fills';
import type { FreedomContext } from '../players';
import type { Space } from '../spaces';

/** The best offer of each player for each space, worked out before the plan; see `bestOffers`. By `fitKey`; null: nothing fits. */
export type Fits = ReadonlyMap<string, Offer | null>;

/** What a plan is worked out from. */
export interface PlanRequest extends FreedomContext {
  readonly fits: Fits;
  /** The share of the spaces that the band wants left open, from 0 to 1. */
  readonly openShare: number;
  /** How many turns a player wants against the others, by id; who is not named wants what their instrument mostly does (`USUAL_WANT`). */
  readonly wants?: ReadonlyMap<string, number>;
}

/** Who a plan gives a space to. */
export interface PlanEntry {
  readonly space: Space;
  /** Null: left open. */
  readonly holder: string | null;
  /** True where the band has settled it already: the plan keeps to it. */
  readonly settled: boolean;
  /** In points; the sum of the reasons' weights. Below 0: better than the usual. */
  readonly cost: number;
  /** What it costs and why, the weightiest first. */
  readonly reasons: readonly Reason[];
  /** The holder's best offer; null where it is settled, left open, or nothing can be written out (then: ad lib). */
  readonly offer: Offer | null;
}

/** Who takes which space, over the whole song. */
export interface Plan {
  /** In time order. */
  readonly entries: readonly PlanEntry[];
  /** The sum of the entries' costs. */
  readonly total: number;
  /** True: no plan costs less. */
  readonly exact: boolean;
  /** No plan costs less than this. */
  readonly lowerBound: number;
}

/** What would be next best for a space, the rest of the plan changed with it. */
export interface NextBest {
  readonly spaceId: string;
  readonly holder: string | null;
  /** How many points more the whole plan would cost. */
  readonly more: number;
  /** False: at most so many more, as far as the search went. */
  readonly exact: boolean;
}
