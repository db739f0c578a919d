import { itemAt } from '../base';
import type { PlacedNote } from '../song';

/** Lines of words are this many notes long at least; words nearer to each other rhyme by chance, or inside a line. */
const FEWEST_BETWEEN = 4;

/**
 * For every note, in how many stanzas at most the word that ends with it rhymes with a word that ends one and the same number
 * of notes away, `reach` at most: lines rhyme at the same two notes in every stanza, chance does so in one. Two words
 * rhyme where they are written alike from the last vowel on and are not the same word; so by the eye, in any script
 * with vowels that are known here. O(notes × reach × stanzas).
 *
 * Not by the ear: a list of how English words sound (the Carnegie Mellon one, ISC, 134,000 words) has nearly 5 MB, many times what a page that works
 * out its lines may load, and knows one tongue; the small keys of sound (Metaphone and the like, MIT) leave out the vowels, by which words rhyme.
 * What the eye misses costs one piece of evidence among many: a line's end shows in punctuation, length and rests too.
 */
export function rhymeShares(
  notes: readonly PlacedNote[],
  present: readonly Uint8Array[],
  reach: number,
): Uint8Array {
  const keys = new Map<string, number>();
  const endings = present.map((_, stanza) => endingsOf(notes, stanza, keys));
  const most = new Uint8Array(notes.length);
  for (let i = 0; i < notes.length; i++) {
    if (!endings.some(({ rhyme }) => rhyme[i] !== 0)) continue;
    for (let j = i + FEWEST_BETWEEN; j <= i + reach && j < notes.length; j++) {
      let count = 0;
      for (const { rhyme, word } of endings) {
        if (rhyme[i] !== 0 && rhyme[i] === rhyme[j] && word[i] !== word[j]) count += 1;
      }
      if (count > itemAt(most, i)) most[i] = count;
      if (count > itemAt(most, j)) most[j] = count;
    }
  }
  return most;
}

interface Endings {
  /** By note, a number for the rhyme and one for the whole last syllable of the word that ends with it; 0: none ends. */
  readonly rhyme: Int32Array;
  readonly word: Int32Array;
}

/** A word's last syllable counts where it begins; the notes that hold it belong to it, and its end is on the last of them. */
function endingsOf(notes: readonly PlacedNote[], stanza: number, keys: Map<string, number>): Endings {
  const rhyme = new Int32Array(notes.length);
  const word = new Int32Array(notes.length);
  const number = (text: string) => {
    const known = keys.get(text) ?? keys.size + 1;
    keys.set(text, known);
    return known;
  };
  let at = -1;
  notes.forEach(({ note }, i) => {
    const syllable = note.syllables[stanza];
    if (syllable) at = -1;
    if (syllable && !syllable.joins) {
      const letters = syllable.text.toLowerCase().replace(/[^\p{L}]/gu, '');
      const ending = rhymeOf(letters);
      if (ending === null) return;
      rhyme[i] = number(ending);
      word[i] = number(`=${letters}`);
      at = i;
    } else if (at >= 0 && !syllable) {
      rhyme[i] = itemAt(rhyme, at);
      word[i] = itemAt(word, at);
      rhyme[at] = 0;
      word[at] = 0;
      at = i;
    }
  });
  return { rhyme, word };
}

/** What a syllable is written with from its last vowel that sounds on; null where that is too little to tell. */
function rhymeOf(letters: string): string | null {
  const found = /[aeiouyäöüàâéèêëîïôûùáíóúãõåæø]+[^aeiouyäöüàâéèêëîïôûùáíóúãõåæø]*e?$/u.exec(letters)?.[0];
  return found !== undefined && found.length > 1 ? found : null;
}
