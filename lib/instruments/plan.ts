import type { Result } from '../base';
import type { Meter, Ticks } from '../time';
import type { Articulation, InstrumentName, Stroke, StrokeRule } from './names';

/** An instrument as it is set up for a song. */
export interface Setup {
  readonly instrument: InstrumentName;
  /** A name from the instrument's tunings; `standard` is the first of them. */
  readonly tuning: string;
  readonly capo: number;
  /** Banjo: frets by which the fifth string is raised; null: by as many as the capo. */
  readonly fifthCapo: number | null;
}

/** A note whose place on the instrument is sought, or partly given. */
export interface NoteToPlan {
  readonly tick: Ticks;
  readonly ticks: Ticks;
  readonly midi: number;
  readonly articulation: Articulation;
  /** Where a figure asks for a string (a roll over 4, 3, 2); null: any. */
  readonly string: number | null;
}

/** Where a note is played. */
export interface Fingering {
  readonly string: number;
  /** From the capo, 0 open. */
  readonly fret: number;
  /** 0 open, 1 index … 4 little. */
  readonly finger: number;
}

export interface HandPlan {
  /** One for each note, in order. */
  readonly fingerings: readonly Fingering[];
  /** In the unit of the cost table (`HAND_COSTS`); the least over all plans of the model. */
  readonly cost: number;
  /** The terms of the cost that are not 0. */
  readonly terms: readonly { readonly rule: string; readonly cost: number }[];
}

export interface HandOptions {
  readonly setup: Setup;
  /** Widest stretch from index to little finger. */
  readonly spanMillimetres: number;
  /** To turn ticks into seconds for shifts. */
  readonly quartersPerMinute: number;
}

/** The left hand's plan, or the reason why no hand can play it. */
export type PlanHand = (notes: readonly NoteToPlan[], options: HandOptions) => Result<HandPlan>;

/** A note as the right hand sees it: which string, when, and whether it is struck at all. */
export interface NoteToStrike {
  readonly tick: Ticks;
  /** How long it is written, so that a silence after it can be told; left out: until the next note, a beat at most. */
  readonly ticks?: Ticks;
  readonly string: number;
  readonly articulation: Articulation;
  /** True for notes of a run, which alternate whatever the player's way with rolls. */
  readonly run: boolean;
  /** True for notes of a banjo's roll: each string has its own finger, whatever comes after. */
  readonly rolled?: boolean;
}

export interface PlannedStroke {
  /** Null where nothing is struck (a hammer-on, a pull-off, a slide, a slur). */
  readonly stroke: Stroke | null;
  /** The rule that gave it: `toward the next string`, `the beat decides`, `alternate`, `run`, `roll`. */
  readonly rule: string | null;
  /** True where the stroke goes against the player's way. */
  readonly exception: boolean;
}

export interface StrokeOptions {
  readonly instrument: InstrumentName;
  readonly rule: StrokeRule;
  /** The meter and the barline from which ticks count, so that the beat can decide. */
  readonly meter: Meter;
  readonly barTick: Ticks;
  /** The downbeats, where bars of odd length shift them; left out: a full bar from one to the next. */
  readonly downbeats?: readonly Ticks[];
  /** True for a figure that is repeated: the last note looks on to the first. */
  readonly closes: boolean;
  /**
   * True: where the way with a pick would strike one string twice running alike, faster than in quarters, the cheapest mix of strokes with
   * and against it, each exception marked (`MIX_COSTS`); left out: the way as it is.
   */
  readonly mixes?: boolean;
}

export type PlanStrokes = (
  notes: readonly NoteToStrike[],
  options: StrokeOptions,
) => readonly PlannedStroke[];
