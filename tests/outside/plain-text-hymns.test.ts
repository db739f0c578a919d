import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { itemAt, makeIds, must, randomFrom } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';

/*
 * The words of the hymns, with the syllables as their editors divided them, against the syllables that the reader of plain text finds
 * in the same words written without hyphens.
 */
const FOLDER = join(import.meta.dirname, '../../../shared/data/hymns');
const present = existsSync(FOLDER);
if (!present) console.log('plain text against the hymns: not run, ../shared/data/hymns is not here');

const options = () => ({ makeId: makeIds(randomFrom(3)) });

async function songOf(name: string, content: Uint8Array | string) {
  const read = await readSongFile(name, content, options());
  if (!read.ok) throw new Error(read.error.what);
  return read.value.song;
}

/** Words of a stanza, each as its syllables. */
function wordsOf(
  notes: readonly { syllables: readonly ({ text: string; joins: boolean } | null)[] }[],
  stanza: number,
): string[][] {
  const words: string[][] = [[]];
  for (const note of notes) {
    const syllable = note.syllables[stanza];
    if (!syllable) continue;
    itemAt(words, words.length - 1).push(syllable.text);
    if (!syllable.joins) words.push([]);
  }
  return words.filter((word) => word.length > 0);
}

const plain = (text: string): string =>
  text
    .normalize('NFC')
    .replace(/^\d+\.[~\s]*/, '')
    .replace(/[^\p{L}'’]/gu, '');

describe.skipIf(!present)('syllables of the hymns', () => {
  // Source: the Open Hymnal Project's own division of the words into syllables, in the w: lines of its ABC files.
  // Most of what differs is sung shorter than it is spoken: `Sav-ior`, `glor-ious`. Where a word is divided is a matter of the house's style.
  it('counts them as the hymns do in 98 of 100 words, 93 of 100 of several syllables', async () => {
    let words = 0;
    let counted = 0;
    let long = 0;
    let longCounted = 0;
    let divided = 0;
    const wrong = new Map<string, string>();
    for (const file of readdirSync(FOLDER).filter((name) => name.endsWith('.abc'))) {
      const song = await songOf(file, readFileSync(join(FOLDER, file)));
      const top = must(song.voices[0], 'the top voice').id;
      const notes = song.notes.filter((note) => note.voiceId === top);
      const theirs = wordsOf(notes, 0)
        .map((word) => word.map(plain))
        .filter((word) => word.every((part) => part !== ''));
      const line = theirs.map((word) => word.join('')).join(' ');
      const text = await songOf(
        'words.txt',
        `[Verse]\n${line.replace(/(\S+ \S+ \S+ \S+ \S+ \S+) /g, '$1\n')}\n`,
      );
      const ours = wordsOf(text.notes, 0);
      expect(ours.map((word) => word.join('')).join(' ')).toBe(line);
      theirs.forEach((word, i) => {
        const own = itemAt(ours, i);
        words += 1;
        if (own.length === word.length) counted += 1;
        else wrong.set(word.join('-'), own.join('-'));
        if (word.length < 2) return;
        long += 1;
        if (own.length === word.length) longCounted += 1;
        if (own.join('-') === word.join('-')) divided += 1;
      });
    }
    console.log(
      `syllables: ${counted} of ${words} words counted alike; of ${long} words of several syllables ${longCounted} counted and ${divided} divided alike; counted otherwise: ${[...wrong].map((pair) => pair.join(' as ')).join(', ')}`,
    );
    expect(counted / words).toBeGreaterThanOrEqual(0.98);
    expect(longCounted / long).toBeGreaterThanOrEqual(0.93);
    expect(divided / long).toBeGreaterThanOrEqual(0.65);
  });
});
