import type { Chord } from '../theory';
import type { Scene } from './scene';

/** A chord's name in a title: as it is written. */
export const chordNameOf = (chord: Chord): string => chord.symbol.trim();

/** 'a roll', 'an answer'. */
export const withArticle = (name: string): string => `${/^[aeiou]/.test(name) ? 'an' : 'a'} ${name}`;

/** 'a', 'a and b', 'a, b and c'. */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** A seed from the place and the idea: the same request gives the same lines. */
export function lineSeed(scene: Scene, idea: string): number {
  let mixed = 2166136261;
  for (const sign of `${scene.space.id} ${idea}`)
    mixed = Math.imul(mixed ^ (sign.codePointAt(0) ?? 0), 16777619);
  return mixed >>> 0;
}
