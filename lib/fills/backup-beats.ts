import type { PlacedBar, Timeline } from '../song';
import { type Chord, parseChord } from '../theory';
import { beatTicks, isCompound, type Meter, type Ticks, ticksOf } from '../time';
import { BACKUP_PATTERNS, type BackupWay, type BarKind, type Sound } from './backup-patterns';
import type { BackupRequest, Stretch } from './backup-types';
import { barOrigin } from './scene';

/** One touch of the right hand, on the chord that holds there. */
export interface Touch {
  readonly tick: Ticks;
  /** Until the next count. */
  readonly ticks: Ticks;
  /** Where the hand has to be off: the end of the chord, of the stretch, or the start of a fill. */
  readonly until: Ticks;
  readonly sound: Sound;
  readonly downbeat: boolean;
  /** How many bass notes its bar has, where nothing is left out. */
  readonly bassesInBar: number;
  readonly count: Ticks;
  readonly held: HeldChord;
  readonly chord: Chord;
  /** How many fills of the player lie before it. */
  readonly fillsBefore: number;
  /** The song's last touch. */
  readonly closes: boolean;
}

/** A touch with less room than this before a fill is left out: the hand goes to its fill. */
const LEAST_TOUCH: Ticks = 240;

/** What backup counts by: beats, but cut time in quarters. */
export function countOf(meter: Meter): Ticks {
  return meter.count === 2 && meter.unit === 2 ? ticksOf(1, 4) : beatTicks(meter);
}

export function barKindOf(meter: Meter): BarKind {
  if (isCompound(meter) && meter.count === 6) return 'twos of three';
  const counts = isCompound(meter) ? meter.count / 3 : meter.count;
  return counts % 3 === 0 ? 'threes' : 'pairs';
}

/** Whether a tick lies in one of some stretches. */
export function isIn(stretches: readonly Stretch[], tick: Ticks): boolean {
  return stretches.some((each) => tick >= each.startTick && tick < each.endTick);
}

/** A chord for as long as it holds, written once or again and again. */
export interface HeldChord extends Stretch {
  readonly symbol: string;
  readonly chord: Chord;
}

/** The chords that can be read, in time order; one that is only written again goes on. */
export function heldChords(timeline: Timeline): readonly HeldChord[] {
  const held: { symbol: string; chord: Chord; startTick: Ticks; endTick: Ticks }[] = [];
  for (const { symbol, startTick, endTick } of timeline.chords) {
    const last = held.at(-1);
    if (last && last.symbol === symbol && last.endTick === startTick) {
      last.endTick = endTick;
      continue;
    }
    const chord = parseChord(symbol);
    if (chord) held.push({ symbol, chord, startTick, endTick });
  }
  return held;
}

/**
 * The touches of a way of backup, in time order. A pickup is left to who has it; a bar that is longer or shorter than its meter goes on
 * with the pattern, or breaks off. No chord, no touch; none while the player is away, none that a fill would cut to a scrap.
 */
export function touchesOf(request: BackupRequest, way: BackupWay): readonly Touch[] {
  const { timeline, away } = request;
  const touches: Touch[] = [];
  const chords = heldChords(timeline);
  let at = 0;
  for (const bar of timeline.bars) {
    if (bar.bar.pickup || bar.endTick <= request.startTick || bar.startTick >= request.endTick) continue;
    const places = placesIn(bar, way);
    const bassesInBar = places.filter((each) => each.sound === 'bass').length;
    for (const { tick, ticks, sound, count } of places) {
      if (tick < request.startTick || tick >= request.endTick || isIn(away, tick)) continue;
      while ((chords[at]?.endTick ?? Number.POSITIVE_INFINITY) <= tick) at += 1;
      const held = chords[at];
      if (!held || held.startTick > tick) continue;
      const { chord } = held;
      const until = Math.min(
        request.endTick,
        held.endTick,
        ...away.filter((each) => each.startTick > tick).map((each) => each.startTick),
      );
      if (until - tick < LEAST_TOUCH) continue;
      const fillsBefore = away.filter((each) => each.endTick <= tick).length;
      const downbeat = tick === bar.startTick;
      touches.push({
        tick,
        ticks,
        until,
        sound,
        downbeat,
        bassesInBar,
        count,
        fillsBefore,
        held,
        chord,
        closes: false,
      });
    }
  }
  const last = touches.at(-1);
  if (!last || !closesSong(request, last.tick)) return touches;
  return [...touches.slice(0, -1), { ...last, closes: true }];
}

/** Whether what is played last at a tick ends the song: the stretch ends with it, and no fill of the player comes after. */
export function closesSong({ timeline, endTick, away }: BackupRequest, tick: Ticks): boolean {
  return endTick >= timeline.endTick && away.every((each) => each.startTick < tick);
}

function placesIn(bar: PlacedBar, way: BackupWay) {
  const { meter } = bar.bar;
  const pattern = BACKUP_PATTERNS[way][barKindOf(meter)];
  const count = countOf(meter);
  const origin = barOrigin(bar);
  const counts = Math.floor((bar.endTick - origin) / count);
  const places: { tick: Ticks; ticks: Ticks; sound: Sound; count: Ticks }[] = [];
  for (let group = 0; group < counts; group += pattern.counts) {
    for (const { at, sound } of pattern.touches) {
      if (group + at >= counts) continue;
      const ticks = Math.round(count * (Math.floor(at) + 1 - at));
      places.push({ tick: origin + Math.round((group + at) * count), ticks, sound, count });
    }
  }
  return places;
}

/** Which bass note a touch takes: the chord's bass, or the second one. */
export type BassTurn = 'first' | 'second';

/**
 * Bass notes by turns: the chord's bass where it begins and, in bars with more than one, on the downbeat; then the second and the first
 * by turns. The song closes on the chord's bass.
 */
export function bassTurns(touches: readonly Touch[]): ReadonlyMap<Touch, BassTurn> {
  const turns = new Map<Touch, BassTurn>();
  const end = touches.at(-1);
  const closing = end?.closes
    ? touches.findLast(({ sound, held }) => sound === 'bass' && held === end.held)
    : null;
  let before: Touch | null = null;
  for (const touch of touches) {
    if (touch.sound !== 'bass') continue;
    const fresh = before === null || before.held !== touch.held;
    const again = (touch.downbeat && touch.bassesInBar > 1) || touch === closing;
    const second = !fresh && !again && before !== null && turns.get(before) === 'first';
    turns.set(touch, second ? 'second' : 'first');
    before = touch;
  }
  return turns;
}

/** The pitch class of a chord's second bass note: the fifth, whichever kind it has; the root under a slash chord. */
export function secondBass(chord: Chord): number {
  if (chord.bass !== chord.root) return chord.root;
  const fifth =
    chord.tones.find((tone) => tone.above === 7) ??
    chord.tones.find((tone) => tone.above === 6 || tone.above === 8);
  return fifth?.pitchClass ?? chord.root;
}
