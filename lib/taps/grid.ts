import { itemAt, lastOf } from '../base';
import { barTicks, beatStrength, beatTicks, isCompound, swingTick, type Ticks } from '../time';
import type { Clock, TapBar } from './types';

/** A place on the grid, in time. */
export interface GridPlace {
  readonly tick: Ticks;
  readonly strength: 0 | 1 | 2 | 3 | 4;
  readonly seconds: number;
}

/** The grid's finest step is this part of a beat: a quarter, in compound meters a sixth. */
export const partsOfBeat = (bar: TapBar): number => (isCompound(bar.meter) ? 6 : 4);

/** When a tick sounds: by the clock and, where the beat is a quarter, by the swing. */
export function secondsAt(bars: readonly TapBar[], swing: number, clock: Clock, tick: Ticks): number {
  const bar = bars.findLast((one) => one.startTick <= tick) ?? itemAt(bars, 0);
  const start = barStart(bar);
  const swings = swing > 1 && bar.meter.unit === 4;
  const sounding = swings ? start + swingTick({ ratio: swing }, tick - start) : tick;
  return clock.zeroSeconds + (sounding / 960) * (60 / clock.quartersPerMinute);
}

/** Where a bar would begin if it were whole: a pickup is its end. */
export const barStart = (bar: TapBar): Ticks =>
  bar.pickup ? bar.endTick - barTicks(bar.meter) : bar.startTick;

/** Every place of the bars and the end of the last one (where a sound may end, and none begins), in order. */
export function placesOf(bars: readonly TapBar[], swing: number, clock: Clock): readonly GridPlace[] {
  const places: GridPlace[] = [];
  for (const bar of bars) {
    const start = barStart(bar);
    const step = beatTicks(bar.meter) / partsOfBeat(bar);
    const first = Math.ceil((bar.startTick - start) / step) * step;
    for (let offset = first; start + offset < bar.endTick; offset += step) {
      const tick = start + offset;
      places.push({
        tick,
        strength: beatStrength(bar.meter, offset),
        seconds: secondsAt(bars, swing, clock, tick),
      });
    }
  }
  if (bars.length > 0) {
    const tick = lastOf(bars).endTick;
    places.push({ tick, strength: 4, seconds: secondsAt(bars, swing, clock, tick) });
  }
  return places;
}

/** A beat's length at a tick. */
export function beatAt(bars: readonly TapBar[], tick: Ticks): Ticks {
  const bar = bars.findLast((one) => one.startTick <= tick) ?? bars[0];
  return bar ? beatTicks(bar.meter) : 960;
}
