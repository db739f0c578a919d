import { itemAt } from '../base';
import { TICKS_PER_QUARTER, type Ticks } from './ticks';

/** From `tick` on, the tempo is this many quarter notes a minute. */
export interface TempoChange {
  readonly tick: Ticks;
  readonly quartersPerMinute: number;
}

/** Seconds that a length takes at one tempo. */
export function secondsOf(ticks: Ticks, quartersPerMinute: number): number {
  return (ticks / TICKS_PER_QUARTER) * (60 / quartersPerMinute);
}

/**
 * Ticks to seconds and back over a song whose tempo may change at given ticks (steps, no ramps).
 * Both ways take O(log changes).
 */
export class TempoMap {
  readonly #changes: readonly TempoChange[];
  /** Seconds at which each change begins. */
  readonly #starts: readonly number[];

  /**
   * @param changes tempo steps; without one at tick 0 or before, the first one is taken to hold from there
   * @throws RangeError on an empty list or a tempo that is not above 0 (callers parse tempos at the edge)
   */
  constructor(changes: readonly TempoChange[]) {
    const sorted = [...changes].sort((a, b) => a.tick - b.tick);
    if (sorted.length === 0) throw new RangeError('a tempo map needs a tempo');
    if (sorted.some((change) => !(change.quartersPerMinute > 0)))
      throw new RangeError('tempo must be above 0');
    sorted[0] = { ...itemAt(sorted, 0), tick: Math.min(0, itemAt(sorted, 0).tick) };
    const starts = [secondsOf(itemAt(sorted, 0).tick, itemAt(sorted, 0).quartersPerMinute)];
    for (let i = 1; i < sorted.length; i++) {
      const before = itemAt(sorted, i - 1);
      const length = secondsOf(itemAt(sorted, i).tick - before.tick, before.quartersPerMinute);
      starts.push(itemAt(starts, i - 1) + length);
    }
    this.#changes = sorted;
    this.#starts = starts;
  }

  /** Seconds from tick 0. */
  seconds(tick: Ticks): number {
    const i = lastAtOrBefore(this.#changes, (change) => change.tick <= tick);
    const change = itemAt(this.#changes, i);
    return itemAt(this.#starts, i) + secondsOf(tick - change.tick, change.quartersPerMinute);
  }

  /** Seconds from one tick to another. */
  between(from: Ticks, to: Ticks): number {
    return this.seconds(to) - this.seconds(from);
  }

  /** The tick (not rounded) that sounds at a time. */
  tick(seconds: number): Ticks {
    const i = lastAtOrBefore(this.#starts, (start) => start <= seconds);
    const change = itemAt(this.#changes, i);
    return (
      change.tick + ((seconds - itemAt(this.#starts, i)) * change.quartersPerMinute * TICKS_PER_QUARTER) / 60
    );
  }

  /** The tempo that holds at a tick. */
  tempoAt(tick: Ticks): number {
    const i = lastAtOrBefore(this.#changes, (change) => change.tick <= tick);
    return itemAt(this.#changes, i).quartersPerMinute;
  }
}

/** The last index for which `holds`, given that it holds for a first stretch; 0 where it holds for none. */
function lastAtOrBefore<T>(items: readonly T[], holds: (item: T) => boolean): number {
  let low = 0;
  let high = items.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (holds(itemAt(items, middle))) low = middle;
    else high = middle - 1;
  }
  return low;
}
