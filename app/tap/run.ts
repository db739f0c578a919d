import type { Clock, LaidLine, TapSheet } from '../../lib/taps';
import { barTicks, beatTicks, TICKS_PER_QUARTER, type Ticks } from '../../lib/time';
import type { Beat } from './clicks';

/** Milliseconds between the key that starts and the first beat. */
const LEAD = 700;

/** One run of taps: its clock, on the page's own time, and the beats to be heard and seen. */
export interface Run {
  readonly clock: Clock;
  readonly fromLine: number;
  readonly beats: readonly Beat[];
  /** After so many milliseconds on the page's clock the run is over. */
  readonly until: number;
}

/**
 * A run from a line on: a bar is counted before the bar in which it begins (of a pickup: before the bar that the pickup ends in), and two more bars follow after
 * the last one, for who sings on.
 */
export function runFrom(
  sheet: TapSheet,
  lines: readonly LaidLine[],
  fromLine: number,
  quartersPerMinute: number,
  now: number,
  beatsGoOn: boolean,
): Run {
  const first = fromLine === 0 ? 0 : (lines[fromLine]?.syllables[0]?.tick ?? 0);
  const bar = sheet.bars.findLast(({ startTick }) => startTick <= Math.max(0, first)) ?? sheet.bars[0];
  const full = bar ? barTicks(bar.meter) : 4 * TICKS_PER_QUARTER;
  const start = bar?.pickup ? bar.endTick - full : (bar?.startTick ?? 0);
  const countFrom = start - full;
  const millis = 60_000 / quartersPerMinute / TICKS_PER_QUARTER;
  const zero = now + LEAD - countFrom * millis;
  const beats: Beat[] = [];
  const beatsOf = (from: Ticks, to: Ticks, beat: Ticks, number: number, of: number) => {
    for (let tick = from, n = number; tick < to; tick += beat, n++)
      beats.push({ at: zero + tick * millis, number: n, bar: of });
  };
  if (bar) beatsOf(countFrom, start, beatTicks(bar.meter), 1, -1);
  let of = 0;
  for (const own of sheet.room) {
    if (own.endTick <= start) continue;
    if (beatsGoOn || own.startTick < start + (bar?.pickup ? full : 0))
      beatsOf(own.startTick, own.endTick, beatTicks(own.meter), 1, of);
    of += 1;
  }
  const last = sheet.room[sheet.room.length - 1];
  return {
    clock: { quartersPerMinute, zeroSeconds: zero / 1000 },
    fromLine,
    beats,
    until: zero + (last?.endTick ?? 0) * millis,
  };
}
