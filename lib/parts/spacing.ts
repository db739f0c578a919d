import { itemAt } from '../base';
import type { Ticks } from '../time';
import type { Line, PassLines, Segment } from './lines';

/**
 * Advance widths in hundredths of an em of the page's text face (Literata, regular), measured in a browser; so that
 * words keep apart before any script has run. Letters that are not here are taken as wide as an 'n'.
 */
const WIDTHS: Readonly<Record<string, number>> = {
  ' ': 20,
  '!': 32,
  '"': 39,
  "'": 23,
  '’': 33,
  '‘': 33,
  '“': 52,
  '”': 52,
  '(': 33,
  ')': 33,
  ',': 33,
  '-': 35,
  '–': 50,
  '—': 100,
  '.': 33,
  '…': 88,
  ':': 33,
  ';': 33,
  '?': 54,
  A: 73,
  B: 66,
  C: 70,
  D: 76,
  E: 64,
  F: 61,
  G: 75,
  H: 84,
  I: 41,
  J: 56,
  K: 75,
  L: 64,
  M: 100,
  N: 83,
  O: 76,
  P: 60,
  Q: 76,
  R: 72,
  S: 60,
  T: 74,
  U: 81,
  V: 74,
  W: 109,
  X: 71,
  Y: 71,
  Z: 66,
  a: 54,
  b: 61,
  c: 50,
  d: 61,
  e: 52,
  f: 39,
  g: 56,
  h: 66,
  i: 33,
  j: 31,
  k: 61,
  l: 33,
  m: 97,
  n: 66,
  o: 59,
  p: 62,
  q: 60,
  r: 47,
  s: 45,
  t: 40,
  u: 63,
  v: 59,
  w: 86,
  x: 57,
  y: 57,
  z: 49,
};
const OTHER = 66;

/** Widths of texts that were asked for: a song's words come back in each of its passes, and with each change of it. */
const known = new Map<string, number>();
const MOST_KNOWN = 5000;

/** About how wide a text is, in ems. */
export function widthInEms(text: string): number {
  const there = known.get(text);
  if (there !== undefined) return there;
  let hundredths = 0;
  for (const sign of text.normalize('NFD').replace(/\p{M}/gu, '')) hundredths += WIDTHS[sign] ?? OTHER;
  if (known.size >= MOST_KNOWN) known.clear();
  known.set(text, hundredths / 100);
  return hundredths / 100;
}

/** Between words, and between the syllables of one, in ems. */
const WORD_SPACE = 0.24;
const SYLLABLE_SPACE = 0.06;

/** Pixels that a syllable takes with the space after it. */
function needOf(syllable: { readonly text: string; readonly joins: boolean }, wordSize: number): number {
  if (syllable.text === '') return 0;
  const text = syllable.joins ? `${syllable.text}-` : syllable.text;
  return (widthInEms(text) + (syllable.joins ? SYLLABLE_SPACE : WORD_SPACE)) * wordSize;
}

/** Where the ticks of a segment stand, in pixels from its left edge. */
export interface Spacing {
  readonly width: number;
  /** Also before and after the segment, at the even scale. */
  readonly xOf: (tick: Ticks) => number;
}

const NOTHING_APART: ReadonlyMap<Ticks, number> = new Map();

/**
 * Time is drawn to one even scale, so that silence is as long as it lasts; only where words are thicker than that do
 * the beats move apart, just enough that every syllable stands on its beat and none touches the next. Chords, beats and
 * notes stand by the same ticks, so what sounds together stands together.
 *
 * @param roomBefore pixels to keep free before a space's start, for what is written there (a holder's initials)
 * @param apart pixels that notes need up to what comes next, by their ticks (`notesApart`)
 * @param roomAfter pixels to keep free at its end, for what is written before a space with which the next segment begins (`roomAtStart`)
 */
export function spacingOf(
  segment: Segment,
  scale: number,
  wordSize: number,
  roomBefore: (spaceId: string) => number = () => 0,
  apart: ReadonlyMap<Ticks, number> = NOTHING_APART,
  roomAfter = 0,
): Spacing {
  const needs = new Map<Ticks, number>([[segment.startTick, 0]]);
  for (const syllable of [...segment.echoes, ...segment.syllables]) {
    needs.set(syllable.startTick, Math.max(needs.get(syllable.startTick) ?? 0, needOf(syllable, wordSize)));
  }
  for (const [tick, need] of apart)
    if (tick >= segment.startTick && tick < segment.endTick)
      needs.set(tick, Math.max(needs.get(tick) ?? 0, need));
  const rooms = new Map<Ticks, number>([[segment.endTick, roomAfter]]);
  for (const part of segment.spaces) {
    if (part.startTick !== part.space.startTick) continue;
    rooms.set(part.startTick, roomBefore(part.space.id));
    if (!needs.has(part.startTick)) needs.set(part.startTick, 0);
  }
  const ticks = [...needs.keys()].sort((a, b) => a - b);
  const xs: number[] = [0];
  ticks.forEach((tick, i) => {
    const next = ticks[i + 1] ?? segment.endTick;
    const need = (needs.get(tick) ?? 0) + (rooms.get(next) ?? 0);
    // Nothing has to be kept free where nothing was sung before.
    const room = (needs.get(tick) ?? 0) === 0 ? 0 : need;
    xs.push(itemAt(xs, i) + Math.max((next - tick) * scale, room));
  });
  const anchors = [...ticks, segment.endTick];
  const evenWidth = itemAt(xs, anchors.length - 1);
  const even = (tick: Ticks): number => {
    if (tick >= segment.endTick) return evenWidth;
    let i = 0;
    while (itemAt(anchors, i + 1) <= tick) i++;
    const from = itemAt(anchors, i);
    const share = (tick - from) / (itemAt(anchors, i + 1) - from);
    return itemAt(xs, i) + share * (itemAt(xs, i + 1) - itemAt(xs, i));
  };
  const pushes = pushesOf(segment, even, wordSize);
  const pushed = (tick: Ticks): number =>
    even(tick) + pushes.reduce((sum, push) => sum + (push.tick <= tick ? push.by : 0), 0);
  const width = pushed(segment.endTick);
  return {
    width,
    xOf: (tick) => {
      if (tick <= segment.startTick) return (tick - segment.startTick) * scale;
      if (tick >= segment.endTick) return width + (tick - segment.endTick) * scale;
      return pushed(tick);
    },
  };
}

/**
 * Pixels to keep free before a segment, for what is written before the first space in it: as much as has no room in what is silent of the
 * segment itself. 0 where something is sung in it before.
 */
export function roomAtStart(
  segment: Segment | undefined,
  scale: number,
  roomBefore: (spaceId: string) => number,
): number {
  const part = segment?.spaces[0];
  if (!segment || !part || part.startTick !== part.space.startTick) return 0;
  const isSung = [...segment.syllables, ...segment.echoes].some(
    ({ startTick }) => startTick < part.startTick,
  );
  if (isSung) return 0;
  return Math.max(0, roomBefore(part.space.id) - (part.startTick - segment.startTick) * scale);
}

/** A chord symbol's letters to those of words, and the space after it, in ems of the words. */
const CHORD_LETTERS = 1.05;
const CHORD_SPACE = 0.3;

/** Where a chord would run into the next one (or out of its bar), what comes after it is pushed on. */
function pushesOf(
  { chords, endTick }: Segment,
  even: (tick: Ticks) => number,
  wordSize: number,
): readonly { readonly tick: Ticks; readonly by: number }[] {
  const pushes: { tick: Ticks; by: number }[] = [];
  chords.forEach(({ tick, symbol }, i) => {
    const next = chords[i + 1]?.tick ?? endTick;
    const need = (widthInEms(symbol) * CHORD_LETTERS + CHORD_SPACE) * wordSize;
    const by = need - (even(next) - even(tick));
    if (by > 0) pushes.push({ tick: next, by });
  });
  return pushes;
}

/** Width of a quarter note in pixels: the least, and the most that quick words may ask for. */
const LEAST = 34;
const MOST = 80;
/** This share of the syllables gets its room from the even scale; round the rest the beats move apart. */
const SHARE = 0.6;
/** This share of the lines goes into the width that is asked for. */
const LINES_THAT_FIT = 0.9;

/** Into which width lines should fit, and which share of the scale that words ask for is the least. */
export interface Fit {
  readonly width: number;
  readonly least: number;
}

/** The even scale of a song in pixels to a tick: one for the whole song, as wide as its words like, as narrow as `fit` asks. */
export function pixelsPerTick(
  passes: readonly PassLines[],
  wordSize: number,
  fit: Fit | null = null,
): number {
  const needs: number[] = [];
  for (const segment of passes.flatMap((pass) => pass.lines.flatMap((line) => line.segments))) {
    segment.syllables.forEach((syllable, i) => {
      const next = segment.syllables[i + 1];
      if (next && syllable.text !== '')
        needs.push(needOf(syllable, wordSize) / (next.startTick - syllable.startTick));
    });
  }
  needs.sort((a, b) => a - b);
  const need = (needs[Math.floor(needs.length * SHARE)] ?? 48 / 960) * 960;
  const wanted = Math.min(MOST, Math.max(LEAST, need)) / 960;
  if (fit === null) return wanted;
  let low = wanted * fit.least;
  let high = wanted;
  if (fits(passes, high, wordSize, fit.width)) return high;
  for (let step = 0; step < 6; step++) {
    const middle = (low + high) / 2;
    if (fits(passes, middle, wordSize, fit.width)) low = middle;
    else high = middle;
  }
  return low;
}

function fits(passes: readonly PassLines[], scale: number, wordSize: number, width: number): boolean {
  const lines = passes.flatMap((pass) => pass.lines);
  const hang = hangOf(passes, scale, wordSize);
  const narrow = lines.filter((line) => {
    const { first, all } = widthsOf(line, scale, wordSize);
    const pickup = line.pickupTicks > 0 ? first : 0;
    return all - pickup + Math.max(hang, pickup) <= width;
  });
  return narrow.length >= lines.length * LINES_THAT_FIT;
}

interface Widths {
  /** Of the first segment; 0 where there is none. */
  readonly first: number;
  readonly all: number;
}

/** Widths of a line in pixels by scale and word size, as long as somebody holds the line. */
const measured = new WeakMap<Line, Map<string, Widths>>();
/** A line that stays through many edits is asked at many scales; only the latest are asked again. */
const MOST_SCALES = 32;

function widthsOf(line: Line, scale: number, wordSize: number): Widths {
  const known = measured.get(line) ?? new Map<string, Widths>();
  measured.set(line, known);
  const key = `${scale} ${wordSize}`;
  const before = known.get(key);
  if (before) return before;
  const each = line.segments.map((segment) => spacingOf(segment, scale, wordSize).width);
  const widths = { first: each[0] ?? 0, all: each.reduce((sum, one) => sum + one, 0) };
  if (known.size >= MOST_SCALES) known.clear();
  known.set(key, widths);
  return widths;
}

/** Pickups of more ticks than this are lines of their own length, and nothing hangs for them. */
const LONGEST_HANG: Ticks = 3 * 960;

/** Pixels kept free to the left of every line's first barline, so that downbeats stand under one another and pickups hang. */
export function hangOf(passes: readonly PassLines[], scale: number, wordSize: number): number {
  let most = 0;
  for (const line of passes.flatMap((pass) => pass.lines)) {
    if (line.pickupTicks === 0 || line.pickupTicks > LONGEST_HANG) continue;
    most = Math.max(most, widthsOf(line, scale, wordSize).first);
  }
  return most;
}
