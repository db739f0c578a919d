import { describe, expect, it } from 'vitest';
import { itemAt, must } from '../../../lib/base';
import { type Song, type SungNote, writtenTimeline } from '../../../lib/song';
import { findPhrases } from '../../../lib/spaces';
import { type TinyVoice, tinySong } from './tiny-song';

const lead = (notes: string, ...words: string[]): TinyVoice => ({ part: 'lead', notes, words });
const song = (notes: string, ...words: string[]) =>
  tinySong([{ name: 'Verse', voices: [lead(notes, ...words)] }]);
const withNotes = (given: Song, change: (note: SungNote, i: number) => Partial<SungNote>): Song => ({
  ...given,
  notes: given.notes.map((note, i) => ({ ...note, ...change(note, i) })),
});
const phrasesOf = (given: Song, ignoreWords = false) => findPhrases(writtenTimeline(given), { ignoreWords });
const endsOf = (given: Song, ignoreWords = false) =>
  phrasesOf(given, ignoreWords).map((phrase) => phrase.lastNote);
const rulesAt = (given: Song, end: number, ignoreWords = false) =>
  must(
    phrasesOf(given, ignoreWords).find((phrase) => phrase.lastNote === end),
    `a phrase that ends at ${end}`,
  ).why.map((reason) => reason.rule);

/** Pitches given one by one, the rhythm in quarters. */
const tune = (rhythm: string, pitches: readonly number[]) =>
  withNotes(song(rhythm), (_, i) => ({ midi: itemAt(pitches, i) }));

describe('what is heard', () => {
  const opening = [60, 64, 67, 65, 64, 62, 64, 60];

  it('is a tune that begins again, though every note is as long as the next', () => {
    const given = tune('1 '.repeat(24), [...opening, 67, 69, 71, 72, 71, 69, 67, 66, ...opening]);
    expect(endsOf(given)).toContain(15);
    expect(rulesAt(given, 15)).toEqual(expect.arrayContaining(['opening', 'opening rhythm', 'equal length']));
  });

  it('is something that comes back after other notes, in another key too', () => {
    const other = [72, 71, 67, 69, 65, 71, 70, 72];
    const up = other.map((pitch) => pitch + 2);
    const given = tune('1 '.repeat(32), [...opening, ...other, 67, 60, 66, 61, 69, 62, 60, 59, ...up]);
    expect(rulesAt(given, 23)).toContain('repeat');
  });

  it('is the time to the next note, long or short against the others', () => {
    const given = song('1 1 1 1 1 1 2 1 1 1 1 1 1 2');
    expect(rulesAt(given, 6)).toEqual(expect.arrayContaining(['held', 'next shorter', 'leap']));
  });

  it('is the rhythm alone where no pitch is known', () => {
    const given = withNotes(song('1 1 1 .5 .5 1 1 2 '.repeat(4)), () => ({ midi: null }));
    expect(endsOf(given)).toEqual([7, 15, 23, 31]);
    expect(rulesAt(given, 7)).toEqual(expect.arrayContaining(['opening rhythm', 'held']));
    expect(rulesAt(given, 7)).not.toContain('opening');
  });

  it('counts a bar that a double bar cuts in two as one, and puts in barlines that were left out', () => {
    const line = '1 1 1 1 1 1 2 ';
    const whole = song(line.repeat(4));
    const [section] = whole.sections;
    const bars = must(section, 'a section').bars;
    const inPieces = { ...itemAt(bars, 1), ticks: 2880 };
    const rest = { ...itemAt(bars, 1), id: 'rest', ticks: 960 };
    const cut: Song = {
      ...withNotes(whole, (note) =>
        note.barId === inPieces.id && note.offset >= 2880
          ? { barId: 'rest', offset: note.offset - 2880 }
          : {},
      ),
      sections: [
        { ...must(section, 'a section'), bars: [itemAt(bars, 0), inPieces, rest, ...bars.slice(2)] },
      ],
    };
    expect(phrasesOf(cut).map((phrase) => phrase.why)).toEqual(phrasesOf(whole).map((phrase) => phrase.why));
    const long = { ...itemAt(bars, 0), ticks: bars.length * 3840 };
    const unbarred: Song = {
      ...withNotes(whole, (note) => ({
        barId: long.id,
        offset: note.offset + 3840 * bars.findIndex((bar) => bar.id === note.barId),
      })),
      sections: [{ ...must(section, 'a section'), bars: [long] }],
    };
    expect(endsOf(unbarred)).toEqual(endsOf(whole));
    expect(rulesAt(unbarred, 6)).toContain('even bars');
  });

  it('says nothing of bars where they are all of different length', () => {
    const given = song('1 1 1 1 1 1 2 '.repeat(4));
    const [section] = given.sections;
    const bars = must(section, 'a section').bars.map((bar, i) => ({
      ...bar,
      meter: { count: 4 + i, unit: 4 as const },
      ticks: (4 + i) * 960,
    }));
    const free: Song = { ...given, sections: [{ ...must(section, 'a section'), bars }] };
    const rules = phrasesOf(free).flatMap((phrase) => phrase.why.map((reason) => reason.rule));
    for (const rule of ['place in the bar', 'even bars', 'two bars', 'four bars']) {
      expect(rules).not.toContain(rule);
    }
  });
});

describe('a fermata', () => {
  it('speaks for an end', () => {
    const held = withNotes(song('1 '.repeat(14)), (_, i) => ({ fermata: i === 6 }));
    expect(rulesAt(held, 6)).toContain('fermata');
  });
});

describe('what the words show', () => {
  it('is a rhyme at the same two notes, which counts for as many stanzas as have it', () => {
    const one = 'o-ver the hill I saw a light and then it was the end of night';
    const two = 'un-der the tree I heard a sound and then we fell to-ward the ground';
    const given = song('1 '.repeat(16), one, two);
    const rhymes = phrasesOf(given).flatMap((phrase) => phrase.why.filter(({ rule }) => rule === 'rhyme'));
    expect(endsOf(given)).toEqual([7, 15]);
    expect(rhymes.map((reason) => reason.detail)).toEqual([
      'the word rhymes with the end of another line in 2 of 2 stanzas',
    ]);
  });

  it('is not a word that is sung again', () => {
    const given = song('1 '.repeat(16), 'o-ver and o-ver the hill to-night we go to-night and o-ver we go');
    const rules = phrasesOf(given).flatMap((phrase) => phrase.why.map((reason) => reason.rule));
    expect(rules).not.toContain('rhyme');
  });

  it('is as many syllables as in the line before', () => {
    const words = 'when all the lit-tle riv-ers run. Then all the lit-tle birds have gone.';
    const given = song('1 1 1 1 1 1 1 2 .5 .5 1 1 1 1 1 1', words);
    expect(endsOf(given)).toEqual([7, 15]);
    expect(rulesAt(given, 15)).toContain('equal syllables');
  });

  it('is not held over notes that only another stanza has', () => {
    // Stanza 2 divides the fifth note: its own two notes stand beside the one of stanza 1.
    const base = song(
      '1 1 1 1 .5 .5 2 1 1 1 1 1 1 2',
      'one two three four * * five. Six sev-en eight nine ten e-lev-en.',
    );
    const given = withNotes(base, (_, i) =>
      i === 4 || i === 5
        ? { stanzas: [2], syllables: [null, { text: 'la', joins: false, endsLine: false }] }
        : {},
    );
    const second = findPhrases(writtenTimeline(given, 2), { ignoreWords: false });
    expect(second.map((phrase) => phrase.lastNote)).toContain(6);
    expect(second.flatMap((phrase) => phrase.why.map((reason) => reason.rule))).not.toContain(
      'held syllable',
    );
  });

  it('is read with the signs of other scripts', () => {
    const given = song('1 '.repeat(16), '月 光 照 我 小 小 的 家。 风 儿 吹 过 那 边 的 山。');
    expect(rulesAt(given, 7)).toContain('stop');
  });
});
