import { itemAt, lastOf } from '../base';
import { isCompound, type Ticks } from '../time';
import { beatAt } from './grid';
import type { SheetLine, SheetSyllable, TapSheet } from './sheet';
import { spreadEvenly, spreadLine } from './spread';
import type { SnappedTap, TapReading } from './types';

/** A line with its syllables where the taps put them. */
export interface LaidLine {
  readonly syllables: readonly SheetSyllable[];
  /** False: nobody tapped it, and it is as the song has it. */
  readonly tapped: boolean;
  /** Indexes of the syllables whose place is in doubt: another is nearly as likely. */
  readonly unsure: readonly number[];
}

/** Below this many nats between the best place and the next one, a tap's place is in doubt: one in ten is the other. */
const IN_DOUBT = 2.2;

export const asWritten = (line: SheetLine): LaidLine => ({
  syllables: line.syllables,
  tapped: false,
  unsure: [],
});

/** Every line as the song has it so far. */
export const laidAsWritten = (sheet: TapSheet): readonly LaidLine[] => sheet.lines.map(asWritten);

/**
 * The lines of a sheet as a reading of taps has them. Tapped by lines, a hold says where the words begin and end: a line that the song has there
 * already (the same start, the end within a beat) keeps its rhythm, any other has its words spread inside the hold by `spreadLine`, by stress, and by where
 * chords stood over its syllables. Tapped by syllables, each stands where its tap is; those that were missed are spread between their neighbours.
 *
 * @param others onsets of the stanzas before, which a spread leans on
 */
export function layTapped(
  sheet: TapSheet,
  reading: TapReading,
  by: 'lines' | 'syllables',
  others: ReadonlySet<Ticks> = new Set(),
): readonly LaidLine[] {
  const byEvent = new Map(reading.snapped.map((snapped) => [snapped.event, snapped]));
  const holds = by === 'lines' || holdsOn(reading);
  let event = 0;
  const tapsOf = sheet.lines.map(({ syllables }) => {
    const own = by === 'lines' ? 1 : syllables.length;
    const taps = Array.from({ length: own }, (_, i) => byEvent.get(event + i) ?? null);
    event += own;
    return taps;
  });
  const laid = sheet.lines.map((line, n) => {
    const taps = itemAt(tapsOf, n);
    const first = taps.find((tap) => tap !== null);
    if (!first) return asWritten(line);
    const following = tapsOf.slice(n + 1).flatMap((next) => next.find((tap) => tap !== null) ?? [])[0];
    const limit = following?.tick ?? lastOf(sheet.room).endTick;
    return by === 'lines'
      ? layHeld(sheet, line, first, others)
      : layTaps(sheet, line, taps, limit, holds, others);
  });
  return inOrder(laid);
}

/**
 * Lines that nobody tapped give way to those that were: one that no longer lies between its neighbours is spread evenly over the time between them, or, with none
 * after it, follows at once, as long as it was.
 */
function inOrder(lines: readonly LaidLine[]): readonly LaidLine[] {
  let floor = Number.NEGATIVE_INFINITY;
  return lines.map((line, n) => {
    const first = itemAt(line.syllables, 0);
    const last = lastOf(line.syllables);
    const next = lines.slice(n + 1).find(({ tapped }) => tapped)?.syllables[0]?.tick ?? Infinity;
    const fits = line.tapped || (first.tick >= floor && last.tick < next);
    const start = Math.max(floor, Math.min(first.tick, next - line.syllables.length));
    const end = Math.max(
      start + line.syllables.length,
      Math.min(next, start + last.tick + last.ticks - first.tick),
    );
    const onsets = spreadEvenly(line.syllables.length, start, end);
    const own = fits ? line : { ...line, syllables: withTicks(line, onsets, end) };
    const sung = lastOf(own.syllables);
    floor = sung.tick + (line.tapped ? sung.ticks : 1);
    return own;
  });
}

/** Whether the tapper holds the key for as long as it is sung, or only taps. */
function holdsOn({ snapped }: TapReading): boolean {
  const shares = snapped.slice(0, -1).map((tap, i) => tap.ticks / (itemAt(snapped, i + 1).tick - tap.tick));
  shares.sort((a, b) => a - b);
  return (shares[shares.length >> 1] ?? 1) >= 0.5;
}

/** Halves of a beat, thirds in compound meters. */
function slotAt(sheet: TapSheet, tick: Ticks): Ticks {
  const bar = sheet.room.findLast((one) => one.startTick <= tick) ?? itemAt(sheet.room, 0);
  return beatAt(sheet.room, tick) / (isCompound(bar.meter) ? 3 : 2);
}

function onSlot(sheet: TapSheet, tick: Ticks): Ticks {
  const bar = sheet.room.findLast((one) => one.startTick <= tick) ?? itemAt(sheet.room, 0);
  return tick - ((tick - bar.startTick) % slotAt(sheet, tick));
}

function layHeld(sheet: TapSheet, line: SheetLine, hold: SnappedTap, others: ReadonlySet<Ticks>): LaidLine {
  const start = hold.tick;
  const end = hold.tick + hold.ticks;
  const first = itemAt(line.syllables, 0);
  const last = lastOf(line.syllables);
  const beat = beatAt(sheet.room, start);
  const unsure = hold.margin < IN_DOUBT ? [0] : [];
  if (first.tick === start && last.tick < end && Math.abs(last.tick + last.ticks - end) <= beat)
    return {
      syllables: withTicks(
        line,
        line.syllables.map(({ tick }) => tick),
        end,
      ),
      tapped: true,
      unsure,
    };
  const anchors = new Map<number, Ticks>([[0, start]]);
  // A chord that stood over a syllable still does, where the line has not gone to other bars.
  if (Math.abs(first.tick - start) < 2 * beat)
    line.syllables.forEach(({ tick }, i) => {
      if (i > 0 && tick > start && tick < end && sheet.chords.includes(tick)) anchors.set(i, tick);
    });
  const onsets =
    spreadIn(sheet, line, anchors, start, end, others) ??
    spreadIn(sheet, line, new Map([[0, start]]), start, end, others) ??
    spreadEvenly(line.syllables.length, start, Math.max(end, start + line.syllables.length));
  return { syllables: withTicks(line, onsets, end), tapped: true, unsure };
}

function layTaps(
  sheet: TapSheet,
  line: SheetLine,
  taps: readonly (SnappedTap | null)[],
  limit: Ticks,
  holds: boolean,
  others: ReadonlySet<Ticks>,
): LaidLine {
  const known = new Map(taps.flatMap((tap, i) => (tap ? [[i, tap.tick] as const] : [])));
  const last = taps.findLast((tap) => tap !== null);
  const first = Math.min(...known.values());
  const beat = beatAt(sheet.room, first);
  const isWhole = taps[taps.length - 1] !== null;
  const heldTo = last ? last.tick + (holds ? last.ticks : Math.max(last.ticks, beat)) : limit;
  const end = isWhole ? Math.min(heldTo, limit) : Math.min(limit, heldTo + beat * (taps.length - known.size));
  const from = taps[0] ? first : Math.max(sheet.room[0]?.startTick ?? 0, first - (beat * taps.length) / 2);
  const onsets =
    known.size === taps.length
      ? [...known.values()]
      : (spreadIn(sheet, line, known, from, end, others)?.map((tick, i) => known.get(i) ?? tick) ??
        between(known, taps.length, from, end));
  const syllables = withTicks(line, onsets, end).map((syllable, i) => {
    const tap = taps[i];
    const rests = holds && tap && i < taps.length - 1 && syllable.ticks - tap.ticks >= beat;
    return rests ? { ...syllable, ticks: tap.ticks } : syllable;
  });
  const unsure = taps.flatMap((tap, i) => (tap === null || tap.margin < IN_DOUBT ? [i] : []));
  return { syllables, tapped: true, unsure };
}

export function spreadIn(
  sheet: TapSheet,
  line: SheetLine,
  anchors: ReadonlyMap<number, Ticks>,
  from: Ticks,
  to: Ticks,
  others: ReadonlySet<Ticks>,
): readonly Ticks[] | null {
  const bar = sheet.room.findLast((one) => one.startTick <= from) ?? itemAt(sheet.room, 0);
  const begin = onSlot(sheet, from);
  const inBar = (tick: Ticks) => {
    const own = sheet.room.findLast((one) => one.startTick <= tick) ?? itemAt(sheet.room, 0);
    return tick - own.startTick;
  };
  const near = new Set([...others].filter((tick) => tick >= begin && tick < to));
  const onsets = spreadLine({
    syllables: line.syllables,
    from: begin,
    to,
    meter: bar.meter,
    inBar,
    anchors,
    others: near,
    start: from,
  });
  if (!onsets) return null;
  const rises = onsets.map((tick, i) => anchors.get(i) ?? tick);
  return rises.every((tick, i) => i === 0 || tick > itemAt(rises, i - 1)) ? rises : null;
}

/** Onsets at equal distances between those that are known. */
function between(known: ReadonlyMap<number, Ticks>, count: number, from: Ticks, to: Ticks): readonly Ticks[] {
  const fixed = [[-1, from - 1] as const, ...[...known].sort((a, b) => a[0] - b[0]), [count, to] as const];
  return Array.from({ length: count }, (_, i) => {
    const own = known.get(i);
    if (own !== undefined) return own;
    const before = fixed.findLast(([index]) => index < i) ?? itemAt(fixed, 0);
    const after = fixed.find(([index]) => index > i) ?? lastOf(fixed);
    return Math.round(before[1] + ((after[1] - before[1]) * (i - before[0])) / (after[0] - before[0]));
  });
}

export function withTicks(line: SheetLine, onsets: readonly Ticks[], end: Ticks): readonly SheetSyllable[] {
  return line.syllables.map((syllable, i) => {
    const tick = itemAt(onsets, i);
    return { ...syllable, tick, ticks: Math.max(1, (onsets[i + 1] ?? end) - tick) };
  });
}
