import { type Chord, toneOf } from '../theory';
import type { Scene } from './scene';

/** A chord's name in a title: as it is written. */
export const chordNameOf = (chord: Chord): string => chord.symbol.trim();

/** What a note is in a chord: 'root', 'third'; null where it is none of its tones. */
export function degreeOf(chord: Chord, midi: number): string | null {
  const tone = toneOf(chord, midi);
  return tone ? (DEGREES[tone.above] ?? 'upper note') : null;
}

/** By semitones above the root. */
const DEGREES: Readonly<Record<number, string>> = {
  0: 'root',
  2: 'second',
  3: 'third',
  4: 'third',
  5: 'fourth',
  6: 'fifth',
  7: 'fifth',
  8: 'fifth',
  9: 'sixth',
  10: 'seventh',
  11: 'seventh',
};

/** Where a line lands, as a title says it: 'G' for the root of G, else 'the third of G'. */
export function landingName(chord: Chord, midi: number): string {
  const degree = degreeOf(chord, midi);
  return degree === null || degree === 'root' ? chordNameOf(chord) : `the ${degree} of ${chordNameOf(chord)}`;
}

/** 'a roll', 'an answer'. */
export const withArticle = (name: string): string => `${/^[aeiou]/.test(name) ? 'an' : 'a'} ${name}`;

/** 'a', 'a and b', 'a, b and c'. */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** A seed from the place, the idea and its turn: the same request gives the same lines. */
export function lineSeed(scene: Scene, idea: string): number {
  let mixed = 2166136261;
  const { turn } = scene.wish;
  for (const sign of `${scene.space.id} ${idea}${turn === 0 ? '' : ` ${turn}`}`)
    mixed = Math.imul(mixed ^ (sign.codePointAt(0) ?? 0), 16777619);
  return mixed >>> 0;
}
