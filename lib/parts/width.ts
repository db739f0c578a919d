import { beatTicks } from '../time';
import type { PassLines } from './lines';

/**
 * Mean advance widths of a text face for reading, in ems, by kind of letter. Measured on the page's own face with a
 * browser; close enough to keep syllables apart before any script has run.
 */
const WIDE = /[mwMW@—]/;
const NARROW = /[ijltfrI.,;:'’‘!|()-]/;
const CAPITAL = /[A-Z]/;

/** About how wide a text is, in ems. */
export function widthInEms(text: string): number {
  let ems = 0;
  for (const sign of text) {
    if (WIDE.test(sign)) ems += 0.88;
    else if (NARROW.test(sign)) ems += 0.32;
    else if (CAPITAL.test(sign)) ems += 0.68;
    else ems += 0.53;
  }
  return ems;
}

/** Between words, and between the syllables of one, in ems. */
export const WORD_SPACE = 0.3;
export const SYLLABLE_SPACE = 0.05;

/** Width of a quarter note in pixels: the least, and the most that quick words may ask for. */
const LEAST = 34;
const MOST = 92;
/** This share of the syllables gets all the room it needs; the rest are moved over a little. */
const SHARE = 0.85;

/**
 * Pixels to a tick at which most syllables of a song stand on their beat without touching the next one.
 * One scale for the whole song: silence is drawn as long as it lasts.
 */
export function pixelsPerTick(passes: readonly PassLines[], wordSize: number): number {
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
          needs.push(((widthInEms(here.text) + space) * wordSize) / (next.startTick - here.startTick));
        }
      }
    }
  }
  if (needs.length === 0) return 48 / 960;
  needs.sort((a, b) => a - b);
  const need = needs[Math.min(needs.length - 1, Math.floor(needs.length * SHARE))] ?? 0;
  return Math.min(MOST, Math.max(LEAST, need * 960)) / 960;
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
    if (syllable.text !== '') end = x + (widthInEms(syllable.text) + space) * wordSize;
    return x;
  });
  return { left, end };
}
