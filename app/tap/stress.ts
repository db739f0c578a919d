import type { Song } from '../../lib/song';
import type { StressOf } from '../../lib/taps';

/** How much weight each syllable of a song's lines has, by the words' own tongue. Loads the reader of words when it is asked for. */
export async function stressIn(song: Song): Promise<StressOf> {
  const { stressesOf, tongueOf } = await import('../../lib/exchange');
  const all = song.notes.flatMap((note) => note.syllables.flatMap((word) => word ?? []));
  const tongue = tongueOf(all.map(({ text, joins }) => (joins ? text : `${text} `)).join(''));
  return (line) => {
    const stresses: (0 | 1 | 2)[] = [];
    let word: string[] = [];
    line.forEach(({ text, joins }, i) => {
      word.push(text);
      if (joins && i < line.length - 1) return;
      stresses.push(...stressesOf(word.join(''), word.length, tongue));
      word = [];
    });
    return stresses;
  };
}

/** Until the reader of words is here. */
export const evenStress: StressOf = (line) => line.map(() => 1);
