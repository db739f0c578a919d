import type { Reason } from '../base';
import type { Place, PlacedChord, PlacedNote } from '../song';
import type { Ticks } from '../time';

/** A stretch of one voice that is sung in one breath, as the model reads it. */
export interface Phrase {
  readonly id: string;
  readonly voiceId: string;
  readonly passId: string | null;
  /** Indexes among the sounding notes of the voice on the timeline, both inside. */
  readonly firstNote: number;
  readonly lastNote: number;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly words: string;
  /** Why it ends where it ends. */
  readonly why: readonly Reason[];
}

export const SPACE_KINDS = [
  'opening',
  'between',
  'under-tail',
  'half-open',
  'instrumental',
  'closing',
] as const;
export type SpaceKind = (typeof SPACE_KINDS)[number];

/** A stretch of time in a pass where no voice is sounding (or only harmony, or a tail). */
export interface Space {
  /** Made from what it hangs on: the same song gives the same ids. */
  readonly id: string;
  readonly place: Place;
  readonly kind: SpaceKind;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  /** Counted beats of the meters that it lies in, fractions too. */
  readonly beats: number;
  readonly seconds: number;
  /** The bar's number and the beat (from 1) at which it begins. */
  readonly bar: number;
  readonly beat: number;
  /** Kept clear before `endTick`, so that the singer can come in (for high and busy fills). */
  readonly guardTicks: Ticks;
  /** How much of the space lies under the tail of a held note. */
  readonly tailTicks: Ticks;
  /** The last sung note before it and the first after it. */
  readonly after: PlacedNote | null;
  readonly before: PlacedNote | null;
  readonly chords: readonly PlacedChord[];
}

export interface SpaceOptions {
  /** Spaces shorter than this are not shown; in half time it counts beats as they are felt. */
  readonly minBeats: number;
  /** True: the words are not evidence. */
  readonly ignoreWords: boolean;
}

export type { Reason };
