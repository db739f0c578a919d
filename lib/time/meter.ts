import { TICKS_PER_QUARTER, type Ticks, ticksOf } from './ticks';

/** A time signature as written: `count` notes of a `unit`-th each. */
export interface Meter {
  readonly count: number;
  readonly unit: number;
}

/** Compound meters are counted in dotted notes: 6/8, 9/8, 12/8 (and 6/4, 9/4), but 3/8 in three. */
export function isCompound(meter: Meter): boolean {
  return meter.count > 3 && meter.count % 3 === 0 && meter.unit >= 4;
}

/** Length of a full bar. */
export function barTicks(meter: Meter): Ticks {
  return ticksOf(meter.count, meter.unit);
}

/** Length of the counted beat: a quarter in 4/4, a half in 2/2, a dotted quarter in 6/8. */
export function beatTicks(meter: Meter): Ticks {
  return isCompound(meter) ? ticksOf(3, meter.unit) : ticksOf(1, meter.unit);
}

/** Counted beats in a full bar: 4 in 4/4, 2 in 6/8 and in 2/2. */
export function beatsPerBar(meter: Meter): number {
  return barTicks(meter) / beatTicks(meter);
}

/** The beat at an offset in a bar, from 1; between beats it is a fraction (2.5 is the "and" of 2 in 4/4). */
export function beatOf(meter: Meter, offset: Ticks): number {
  return 1 + offset / beatTicks(meter);
}

/**
 * How strong a place in the bar is: 4 the downbeat, 3 the middle of a bar that has one (beat 3 of 4/4,
 * the second half of 12/8), 2 another beat, 1 the halves (thirds in compound meter) of a beat, 0 between those.
 * Common practice, no source.
 */
export function beatStrength(meter: Meter, offset: Ticks): 0 | 1 | 2 | 3 | 4 {
  const beat = beatTicks(meter);
  if (offset === 0) return 4;
  if (offset % beat === 0) {
    const beats = beatsPerBar(meter);
    return beats % 2 === 0 && beats >= 4 && offset === (beats / 2) * beat ? 3 : 2;
  }
  const parts = isCompound(meter) ? 3 : 2;
  return (offset * parts) % beat === 0 ? 1 : 0;
}

export function meterName(meter: Meter): string {
  return `${meter.count}/${meter.unit}`;
}

/** Reads `4/4`, `6/8`, `C` (4/4) and `C|` (2/2); null for anything else. Units are powers of two up to 32. */
export function parseMeter(text: string): Meter | null {
  const trimmed = text.trim();
  if (trimmed === 'C') return { count: 4, unit: 4 };
  if (trimmed === 'C|') return { count: 2, unit: 2 };
  const match = /^(\d{1,2})\s*\/\s*(1|2|4|8|16|32)$/.exec(trimmed);
  if (!match) return null;
  const count = Number(match[1]);
  return count >= 1 && count * TICKS_PER_QUARTER > 0 ? { count, unit: Number(match[2]) } : null;
}
