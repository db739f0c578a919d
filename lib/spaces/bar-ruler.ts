import { itemAt } from '../base';
import type { PlacedBar } from '../song';
import { barTicks, type Ticks } from '../time';

interface Mark {
  /** Counted from the first bar, whatever barlines were left out or put in. */
  readonly number: number;
  /** Where in a whole bar the bar begins: behind 0 for a pickup and for what a barline cut off. */
  readonly lead: Ticks;
}

/**
 * Bars as a musician counts them, for ticks that mostly grow. A pickup stands at the end of the bar before the first full
 * one; a bar that a double bar or a repeat cuts in two is one; where barlines were left out, the meter puts them in.
 */
export class BarRuler {
  /** Whether bars say something: there are two at least, and half of them or more are equally long. */
  readonly isMetered: boolean;
  readonly #bars: readonly PlacedBar[];
  readonly #marks: readonly Mark[];
  #index = 0;

  constructor(bars: readonly PlacedBar[]) {
    this.#bars = bars;
    const marks: Mark[] = [];
    const lengths = new Map<Ticks, number>();
    let count = 0;
    let left = 0;
    for (const { bar } of bars) {
      const full = barTicks(bar.meter);
      if (bar.pickup && bar.ticks < full) {
        marks.push({ number: count - 1, lead: full - bar.ticks });
        left = 0;
      } else if (bar.ticks < full && bar.ticks === left) {
        marks.push({ number: count - 1, lead: full - left });
        left = 0;
      } else {
        const whole = Math.max(1, Math.ceil(bar.ticks / full));
        marks.push({ number: count, lead: 0 });
        lengths.set(full, (lengths.get(full) ?? 0) + whole);
        count += whole;
        left = whole * full - bar.ticks;
      }
    }
    this.#marks = marks;
    this.isMetered = count > 1 && Math.max(...lengths.values()) * 2 >= count;
  }

  /** The bar that a tick lies in as written, and where it stands in the bar as counted, which is `length` long. */
  at(tick: Ticks): { bar: PlacedBar; number: number; offset: Ticks; length: Ticks } {
    while (this.#index > 0 && itemAt(this.#bars, this.#index).startTick > tick) this.#index -= 1;
    while (this.#index + 1 < this.#bars.length && itemAt(this.#bars, this.#index).endTick <= tick) {
      this.#index += 1;
    }
    const bar = itemAt(this.#bars, this.#index);
    const mark = itemAt(this.#marks, this.#index);
    const length = barTicks(bar.bar.meter);
    const offset = mark.lead + tick - bar.startTick;
    return { bar, number: mark.number + Math.floor(offset / length), offset: offset % length, length };
  }
}
