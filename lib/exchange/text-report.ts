import type { Song } from '../song';
import { isCompound, type Meter, meterName } from '../time';
import type { Findings } from './report';
import type { TextItem } from './text-lines';
import type { Part } from './text-parts';

/** Lines that are no part of the song, and marks among the chords that a song does not hold. */
export function reportItems(items: readonly TextItem[], findings: Findings): void {
  for (const item of items) {
    if (item.kind === 'other') findings.leftOutEach(item.one, (n) => `${n} ${item.many}`, item.at);
    if (item.kind !== 'line' || !item.line.chords) continue;
    const { chords, at } = item.line;
    for (const { what, index } of chords.leftOut) findings.leftOut(what, at + index);
    if (chords.times > 1)
      findings.leftOut(`a line that is to be played ${chords.times} times; it was read once`, at);
  }
}

/** What was read, and by what reading. */
export function reportReading(
  song: Song,
  items: readonly TextItem[],
  parts: readonly Part[],
  anyChords: boolean,
  english: boolean,
  words: readonly string[],
  meter: Meter,
  findings: Findings,
): void {
  const count = (n: number, one: string, many: string) => `${n} ${n === 1 ? one : many}`;
  const lines = items.flatMap((item) => (item.kind === 'line' ? [item.line] : []));
  const bars = song.sections.reduce(
    (sum, section) => sum + section.bars.filter((bar) => !bar.pickup).length,
    0,
  );
  const syllables = song.notes.reduce((sum, note) => sum + note.syllables.filter((each) => each).length, 0);
  findings.read(count(song.sections.length, 'part', 'parts'));
  findings.read(count(bars, 'bar', 'bars'));
  findings.read(anyChords ? count(song.chords.length, 'chord', 'chords') : 'no chords');
  findings.read(syllables > 0 ? count(syllables, 'syllable', 'syllables') : 'no words');
  const open = lines.some(({ chords }) => chords && !chords.barlines);
  if (open)
    findings.guessed(
      `where no barlines are written, each chord was taken as one bar of ${meterName(meter)}${lines.some(({ chords }) => chords?.marked) ? ', unless beats or bars are marked after it' : ''}`,
    );
  if (syllables > 0) {
    findings.guessed(
      `words were laid on beats by their syllables and stress (${isCompound(meter) ? 'thirds' : 'halves'} of beats at least), the syllable under a chord with it; the last of a line is held for two beats at most`,
    );
    findings.guessed(
      english
        ? 'syllables were counted as in English'
        : 'the words are not English; a syllable was taken for each group of vowels, all with the same stress',
    );
    findings.warn('the tune is not written: sung notes have no pitch');
  } else findings.warn('there are no words; spaces cannot be told from singing');
  if (
    /[^\p{Script=Latin}\p{Script=Greek}\p{Script=Cyrillic}\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Hangul}\p{Script=Common}\p{Script=Inherited}]/u.test(
      words.join(''),
    )
  )
    findings.warn(
      'some words are in a script whose syllables are not told apart: each was taken as one syllable',
    );
  if (!anyChords) findings.warn('there are no chord symbols; add them before asking for offers');
  const bare = parts.flatMap((part) => part.lines.filter((line) => line.spans === null));
  const first = bare[0];
  if (first)
    findings.guessed(
      `${count(bare.length, 'line of words has', 'lines of words have')} no chords; as many bars were taken as other lines have, or as the syllables need (first at ${findings.sayPlace(first.at)})`,
    );
}
