import { itemAt } from '../base';
import type { PlacedBar, PlacedNote, Timeline } from '../song';
import { barTicks, beatOf, beatTicks, secondsOf, type Ticks, ticksOf } from '../time';
import { countUpTo, type Stretch } from './stretches';

/** The time that a singer needs to take a breath and find the note, in seconds. Common practice, no source. */
export const GUARD_SECONDS = 0.25;
/** The guard is counted in eighths, and is one at least. */
export const GUARD_STEP: Ticks = ticksOf(1, 8);

/** Beats counted over a timeline whose meter may change with every bar. */
export class BeatClock {
  readonly #bars: readonly PlacedBar[];
  /** Beats before each bar. */
  readonly #before: readonly number[];

  constructor(timeline: Timeline) {
    this.#bars = timeline.bars;
    const before: number[] = [];
    let beats = 0;
    for (const { bar } of timeline.bars) {
      before.push(beats);
      beats += bar.ticks / beatTicks(bar.meter);
    }
    this.#before = before;
  }

  /** The bar that a tick lies in; the last one for the end and beyond. */
  barAt(tick: Ticks): PlacedBar {
    return itemAt(this.#bars, this.#index(tick));
  }

  /** The bar that a stretch which ends at a tick ends in. */
  barBefore(tick: Ticks): PlacedBar {
    return itemAt(this.#bars, this.#index(tick - 1));
  }

  /** Counted beats from the start of the timeline. */
  beatsTo(tick: Ticks): number {
    const index = this.#index(tick);
    const { bar, startTick } = itemAt(this.#bars, index);
    return itemAt(this.#before, index) + (tick - startTick) / beatTicks(bar.meter);
  }

  /** Counted beats from one tick to another, fractions rounded to a thousandth. */
  beatsBetween(from: Ticks, to: Ticks): number {
    return Math.round((this.beatsTo(to) - this.beatsTo(from)) * 1000) / 1000;
  }

  /** The tick that lies some counted beats after (or, below 0, before) another, by that one's own meter. */
  stepBeats(tick: Ticks, beats: number): Ticks {
    const { bar } = beats < 0 ? this.barBefore(tick) : this.barAt(tick);
    return tick + Math.round(beats * beatTicks(bar.meter));
  }

  /** The first beat at a tick or after it (the barline, where the bar ends before it). */
  nextBeat(tick: Ticks): Ticks {
    const { bar, startTick, endTick } = this.barAt(tick);
    const beat = beatTicks(bar.meter);
    const lead = bar.pickup ? Math.max(0, barTicks(bar.meter) - bar.ticks) : 0;
    const offset = Math.ceil((tick - startTick + lead) / beat) * beat - lead;
    return Math.min(Math.max(startTick + offset, tick), Math.max(endTick, tick));
  }

  /** Bar and beat as a musician counts them; a pickup's beats are the last ones of a bar. */
  countAt(tick: Ticks): { bar: number; beat: number } {
    const { bar, startTick, number } = this.barAt(tick);
    const lead = bar.pickup ? Math.max(0, barTicks(bar.meter) - bar.ticks) : 0;
    return { bar: number, beat: Math.round(beatOf(bar.meter, tick - startTick + lead) * 1000) / 1000 };
  }

  #index(tick: Ticks): number {
    return Math.max(0, countUpTo(this.#bars, tick, (bar) => bar.startTick) - 1);
  }
}

/**
 * The guard before a tick at which somebody comes in: as few eighths as last `GUARD_SECONDS`, one at least, one
 * counted beat (but an eighth) at most, so that a fast song keeps the beat before free and a slow one the "and". The
 * guard goes by at the tempo and in the meter before the tick.
 *
 * @param felt how many counted beats make one that is felt (see `FeltBeats`): as many may be kept clear
 */
export function guardBefore(tick: Ticks, timeline: Timeline, clock: BeatClock, felt: 1 | 2 = 1): Ticks {
  const { bar } = clock.barBefore(tick);
  const eighthSeconds = secondsOf(GUARD_STEP, timeline.tempo.tempoAt(tick - 1));
  const eighths = Math.max(1, Math.ceil(GUARD_SECONDS / eighthSeconds - 1e-9));
  return Math.min(eighths * GUARD_STEP, Math.max(GUARD_STEP, felt * beatTicks(bar.meter)));
}

/** Seconds of a stretch after a note, those under its fermata twice: time stands, and the band waits with the singer. */
export function secondsIn(
  timeline: Timeline,
  { startTick, endTick }: Stretch,
  after: PlacedNote | null,
): number {
  const under = after?.note.fermata ? Math.max(startTick, Math.min(after.endTick, endTick)) : startTick;
  return timeline.tempo.between(startTick, endTick) + timeline.tempo.between(startTick, under);
}
