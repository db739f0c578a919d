import type { Reason } from '../../base';
import type { Setup, StrokeRule } from '../../instruments';
import type { FillNote, Timeline } from '../../song';
import type { Ticks } from '../../time';

/** What a break is worked out from: a stretch of the timeline, and who plays it. */
export interface BreakRequest {
  readonly timeline: Timeline;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly setup: Setup;
  readonly rule: StrokeRule;
  /** Null: a usual hand, a usual player. */
  readonly spanMillimetres: number | null;
  readonly comfortEighthsPerMinute: number | null;
  /** The voice whose tune is played; null: the leading one. */
  readonly voiceId: string | null;
  /** True: the tune alone, without roll or ornaments. */
  readonly plain: boolean;
}

/** How a note of the tune was changed to lie under the hands. */
export type Licence = 'on its beat' | 'early' | 'late';

/** A note of the tune, and where it is played. */
export interface TuneNote {
  readonly noteId: string;
  /** As sung: onset, length and pitch. */
  readonly tick: Ticks;
  readonly ticks: Ticks;
  readonly midi: number;
  /** Octaves by which its phrase is moved to fit the instrument. */
  readonly octaves: number;
  readonly playedTick: Ticks;
  readonly licence: Licence;
}

/** How hard a break is, with what makes it so. */
export interface Difficulty {
  /** From 1 (first months) to 10. */
  readonly number: number;
  readonly words: 'easy' | 'moderate' | 'hard' | 'very hard';
  /** What the number adds up from, over a base of 1; rounded and held to 10. */
  readonly terms: readonly Reason[];
}

/** What is out of the way of a usual player, counted. */
export interface UnusualMoves {
  /** Strokes marked as against the player's way. */
  readonly strokes: number;
  /** Times that the hand moves along the neck by more than a fret; a bar, by more than five. */
  readonly shifts: number;
  /** Places where two fingers lie further apart than four frets of first position hold. */
  readonly stretches: number;
  /** Strikes of a pick within an eighth that leave out two strings or more between. */
  readonly stringLeaps: number;
}

/** What leads into a break from the bar before its first downbeat: ticks of the timeline, before the stretch's start. */
export interface Pickup {
  /** The tune's own notes, as they are written; or a run of one to three notes that a player may leave out. */
  readonly kind: 'of the tune' | 'lead-in';
  readonly notes: readonly FillNote[];
}

export interface Break {
  /** What it is: `melody in the roll`, `cross-picked melody`, `ornamented melody`, `plain melody`. */
  readonly family: string;
  readonly title: string;
  /** Ticks of the timeline, in time order. */
  readonly notes: readonly FillNote[];
  /** Null: the stretch brings its own pickup, or there is none. */
  readonly pickup: Pickup | null;
  readonly tune: readonly TuneNote[];
  readonly difficulty: Difficulty;
  readonly unusual: UnusualMoves;
  /** In points of `BREAK_COSTS`: the least over all ways of the model. */
  readonly cost: number;
  /** True where no chords are written and they were worked out from what is sung. */
  readonly chordsWorkedOut: boolean;
  readonly reasons: readonly Reason[];
}
