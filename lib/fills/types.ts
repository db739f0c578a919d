import type { Reason } from '../base';
import type { Setup, StrokeRule } from '../instruments';
import type { Figure, FillNote, PitchRange, Timeline } from '../song';
import type { Space } from '../spaces';

/** What offers are worked out from: where, for whom, and how many. */
export interface OfferRequest {
  readonly timeline: Timeline;
  readonly space: Space;
  readonly setup: Setup;
  readonly rule: StrokeRule;
  /** Null: a usual hand, a usual player. */
  readonly spanMillimetres: number | null;
  readonly comfortEighthsPerMinute: number | null;
  readonly count: number;
  /** A voice's lowest and highest note, as sounded; null or left out: near the tune. */
  readonly voiceRange?: PitchRange | null;
  /** The player's own figures, to be fitted; left out: none. */
  readonly figures?: readonly Figure[];
}

/** A fill that the program worked out, with the reasons for its rank. */
export interface Offer {
  /** From 1. */
  readonly rank: number;
  /** Higher is better; the sum of the reasons' weights. */
  readonly score: number;
  readonly family: string;
  /** Ticks from the timeline's start; `fillOf` hangs them on the space's place. */
  readonly notes: readonly FillNote[];
  readonly reasons: readonly Reason[];
  /** A short line that says what it is: 'a forward roll, then a run up into G'. */
  readonly title: string;
}
