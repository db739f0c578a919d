import type { Reason } from '../base';
import type { Meter, Ticks } from '../time';

/** A key or finger held; seconds on any clock, both on the same. */
export interface Tap {
  readonly downSeconds: number;
  /** When it was let go. */
  readonly upSeconds: number;
}

/** A bar of the pass that is tapped; ticks from the pass's start. */
export interface TapBar {
  /** The bar's id in the song; empty for bars that are only thought on, before and after it. */
  readonly id: string;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly meter: Meter;
  readonly pickup: boolean;
}

/** Time that runs steadily: where tick 0 sounds, and how fast the ticks go. */
export interface Clock {
  readonly quartersPerMinute: number;
  readonly zeroSeconds: number;
}

/** What one tap stands for: a line's first syllable, or a syllable. */
export interface TapEvent {
  readonly stress: 0 | 1 | 2;
  /** Where the song has it as it is written so far; only a weak hint. Null: nowhere. */
  readonly writtenTick: Ticks | null;
  /** True where a line begins with it. */
  readonly startsLine: boolean;
}

export interface SnapInput {
  readonly taps: readonly Tap[];
  readonly events: readonly TapEvent[];
  readonly bars: readonly TapBar[];
  /** Long eighth to short eighth; 1 is even. */
  readonly swing: number;
  readonly clock: Clock;
  /** True once the tapper is done: events after the last tap were missed then, and are not still to come. */
  readonly isOver: boolean;
}

/** A tap on its grid place. */
export interface SnappedTap {
  /** Index among the taps. */
  readonly tap: number;
  /** Index among the events. */
  readonly event: number;
  readonly tick: Ticks;
  /** Until when it was held, on the grid too; up to the next tap at most. */
  readonly ticks: Ticks;
  /** How late it came after its place, in seconds (early is negative). */
  readonly lateSeconds: number;
  /** How much dearer the next best place would be with all else as it is, in the unit of `TAP_COSTS`; small is unsure. */
  readonly margin: number;
  /** That next best place; null where there is none. */
  readonly otherTick: Ticks | null;
  /** The terms of its cost. */
  readonly reasons: readonly Reason[];
}

/** A pass's taps, read. */
export interface TapReading {
  /** In order of time. */
  readonly snapped: readonly SnappedTap[];
  /** Taps taken as slips. */
  readonly slips: readonly number[];
  /** Events that no tap stands for; those after the last tap only where the tapper is done. */
  readonly missed: readonly number[];
  /** The whole cost in the unit of `TAP_COSTS`. */
  readonly cost: number;
  /** The spread that was found, and the mean lean, in seconds (a lean below 0 is early). */
  readonly spreadSeconds: number;
  readonly leanSeconds: number;
  /** By which share the singer was faster at the end than at the start. */
  readonly drift: number;
  readonly clock: Clock;
}
