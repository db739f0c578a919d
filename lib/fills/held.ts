import { itemAt } from '../base';
import type { OpenString } from '../instruments';
import { type Chord, pitchClassOf, toneOf } from '../theory';

/** Pitches held at once, by string number. */
export type Held = ReadonlyMap<number, number>;

/** The highest fret (from the capo) of a shape that is looked for; frets that one hand holds without a stretch. */
const HIGHEST_FRET = 5;
const FRETS_IN_HAND = 3;

const known = new Map<string, Held | null>();

/**
 * A chord's shape on the strings that a figure plays: a chord tone on each, in reach of one hand, near the nut or capo,
 * (or from the fret `neck` on), with the third and the root among them where that can be. The least of a small sum (see `shapeCost`) over all
 * combinations, exactly; null where a string has no chord tone in reach. The answer depends on its arguments alone and is remembered.
 */
export function heldOn(
  strings: readonly OpenString[],
  chord: Chord,
  wanted: readonly number[],
  neck = 0,
): Held | null {
  const key = `${strings.map((each) => each.midi).join()}|${chord.symbol}|${chord.root}|${wanted.join()}|${neck}`;
  const remembered = known.get(key);
  if (remembered !== undefined) return remembered;
  if (known.size > 5000) known.clear();
  const found = search(strings, chord, wanted, neck);
  known.set(key, found);
  return found;
}

function search(
  strings: readonly OpenString[],
  chord: Chord,
  wanted: readonly number[],
  neck: number,
): Held | null {
  const choices = wanted.map((number) => {
    const open = itemAt(strings, number - 1);
    const frets: number[] = [];
    for (let fret = neck; fret <= Math.min(neck + HIGHEST_FRET, open.highestFret); fret++)
      if (toneOf(chord, open.midi + fret)) frets.push(fret);
    return frets;
  });
  let best: readonly number[] | null = null;
  let bestCost = Number.POSITIVE_INFINITY;
  const chosen: number[] = [];
  const visit = (index: number): void => {
    if (index === wanted.length) {
      const cost = shapeCost(strings, chord, wanted, chosen, neck);
      if (cost < bestCost) {
        bestCost = cost;
        best = [...chosen];
      }
      return;
    }
    for (const fret of itemAt(choices, index)) {
      chosen.push(fret);
      visit(index + 1);
      chosen.pop();
    }
  };
  visit(0);
  if (!best) return null;
  const frets: readonly number[] = best;
  return new Map(wanted.map((number, i) => [number, itemAt(strings, number - 1).midi + itemAt(frets, i)]));
}

/** In frets: how far up, how wide beyond the hand, and what the chord misses. */
function shapeCost(
  strings: readonly OpenString[],
  chord: Chord,
  wanted: readonly number[],
  frets: readonly number[],
  neck: number,
): number {
  const stopped = frets.filter((fret) => fret > 0);
  const span = stopped.length > 0 ? Math.max(...stopped) - Math.min(...stopped) : 0;
  const pitches = wanted.map((number, i) => itemAt(strings, number - 1).midi + itemAt(frets, i));
  const tones = new Set(pitches.map((midi) => toneOf(chord, midi)?.above));
  let cost = 0.4 * frets.reduce((sum, fret) => sum + fret - neck, 0);
  cost += 6 * Math.max(0, span - FRETS_IN_HAND) + 0.5 * span;
  cost += 2.5 * frets.filter((fret) => fret - neck >= HIGHEST_FRET).length;
  cost += 3 * (Math.min(wanted.length, chord.tones.length) - tones.size);
  if (!isTold(chord, pitches)) cost += 12;
  else if (chord.third !== 'none' && !tones.has(chord.third === 'major' ? 4 : 3)) cost += 1.5;
  if (!tones.has(0)) cost += 1;
  cost += 4 * (pitches.length - new Set(pitches).size);
  return cost;
}

/**
 * Whether notes tell a chord from its neighbours: its third is among them, or its seventh where it has one. A chord without a third is
 * told by anything. Common practice, no source.
 */
export function isTold(chord: Chord, pitches: readonly number[]): boolean {
  if (chord.third === 'none') return true;
  return pitches.some((midi) => TELLING.has(toneOf(chord, midi)?.above ?? -1));
}

/** Semitones above the root: thirds and sevenths. */
const TELLING: ReadonlySet<number> = new Set([3, 4, 10, 11]);

/** The highest fret for a straight bar. */
const HIGHEST_BAR = 12;

/**
 * A chord under one straight bar: each of the strings at the bar's fret or open, all chord tones, the lowest such fret from `neck` on. Null
 * where there is none (a full minor triad, mostly).
 */
export function barredOn(
  strings: readonly OpenString[],
  chord: Chord,
  wanted: readonly number[],
  neck = 0,
): Held | null {
  const open = wanted.map((number) => itemAt(strings, number - 1));
  const reach = Math.min(HIGHEST_BAR, ...open.map((each) => each.highestFret));
  for (let fret = neck; fret <= reach; fret++) {
    const pitches = open.map(({ midi }) =>
      toneOf(chord, midi + fret) ? midi + fret : neck === 0 && toneOf(chord, midi) ? midi : null,
    );
    const found = pitches.flatMap((midi, i) => (midi === null ? [] : [[itemAt(wanted, i), midi] as const]));
    const tones = new Set(found.map(([, midi]) => pitchClassOf(midi)));
    if (found.length === wanted.length && tones.size >= Math.min(2, wanted.length)) return new Map(found);
  }
  return null;
}

/** The pitch class's nearest pitch to another pitch. */
export function nearestPitch(pitchClass: number, to: number): number {
  const above = pitchClassOf(pitchClass - to);
  return above <= 6 ? to + above : to + above - 12;
}
