import { beatTicks } from '../time';
import type { PassLines } from './lines';

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

/** About how wide a text is, in ems. */
export function widthInEms(text: string): number {
  let hundredths = 0;
  for (const sign of text.normalize('NFD').replace(/\p{M}/gu, '')) hundredths += WIDTHS[sign] ?? OTHER;
  return hundredths / 100;
}

/** A syllable as it is written: with its hyphen where the word goes on. */
const written = (syllable: { readonly text: string; readonly joins: boolean }): string =>
  syllable.joins ? `${syllable.text}-` : syllable.text;

/** Between words, and between the syllables of one, in ems. */
export const WORD_SPACE = 0.22;
export const SYLLABLE_SPACE = 0.05;

/** Width of a quarter note in pixels: the least, and the most that quick words may ask for. */
const LEAST = 34;
const MOST = 92;
/** This share of the syllables gets all the room it needs; the rest are moved over a little. */
const SHARE = 0.85;

/** Into which width lines should fit, and which share of the scale that words need is the least. */
export interface Fit {
  readonly width: number;
  readonly least: number;
}

/**
 * Pixels to a tick at which most syllables of a song stand on their beat without touching the next one.
 * One scale for the whole song: silence is drawn as long as it lasts.
 *
 * @param fit where lines should fit into a width: the scale is then squeezed, though not beyond a share of what words need
 */
export function pixelsPerTick(
  passes: readonly PassLines[],
  wordSize: number,
  fit: Fit | null = null,
): number {
  const needs: number[] = [];
  let quarter = 960;
  for (const pass of passes) {
    for (const line of pass.lines) {
      for (const segment of line.segments) {
        quarter = Math.min(quarter, beatTicks(segment.bar.bar.meter));
        for (let i = 0; i + 1 < segment.syllables.length; i++) {
          const here = segment.syllables[i];
          const next = segment.syllables[i + 1];
          if (!here || !next || here.text === '') continue;
          const space = here.joins ? SYLLABLE_SPACE : WORD_SPACE;
          needs.push(((widthInEms(written(here)) + space) * wordSize) / (next.startTick - here.startTick));
        }
      }
    }
  }
  if (needs.length === 0) return 48 / 960;
  needs.sort((a, b) => a - b);
  const need = needs[Math.min(needs.length - 1, Math.floor(needs.length * SHARE))] ?? 0;
  const wanted = Math.min(MOST, Math.max(LEAST, need * 960)) / 960;
  return fit === null
    ? wanted
    : Math.min(wanted, Math.max(wanted * fit.least, fit.width / longestLine(passes)));
}

/**
 * Left edges of a segment's syllables in pixels from its start: on their beat, or just after the one before where that one
 * is too wide.
 *
 * @param from where the words of the segment before end, from this segment's start (may be below 0)
 */
export function syllablePlaces(
  syllables: readonly { readonly startTick: number; readonly text: string; readonly joins: boolean }[],
  startTick: number,
  scale: number,
  wordSize: number,
  from: number,
): { readonly left: readonly number[]; readonly end: number } {
  let end = from;
  const left = syllables.map((syllable) => {
    const x = Math.max((syllable.startTick - startTick) * scale, end);
    const space = syllable.joins ? SYLLABLE_SPACE : WORD_SPACE;
    if (syllable.text !== '') end = x + (widthInEms(written(syllable)) + space) * wordSize;
    return x;
  });
  return { left, end };
}

/** The longest line, its pickup hung out, in ticks. */
function longestLine(passes: readonly PassLines[]): number {
  const lines = passes.flatMap((pass) => pass.lines);
  const hang = Math.max(0, ...lines.map((line) => line.pickupTicks));
  return Math.max(1, ...lines.map((line) => line.endTick - line.startTick - line.pickupTicks + hang));
}
