import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { makeIds, randomFrom } from '../../lib/base';
import { readPastedSong, readSongFile } from '../../lib/exchange';
import { checkSong, songSchema } from '../../lib/song';

const options = () => ({ makeId: makeIds(randomFrom(3)), title: 'Untitled' });

async function read(text: string) {
  const result = await readSongFile('song.txt', text, options());
  if (!result.ok) throw new Error(`${result.error.what} (${result.error.where})`);
  expect(checkSong(result.value.song)).toEqual([]);
  songSchema.parse(result.value.song);
  return result.value;
}

async function problem(text: string) {
  const result = await readPastedSong(text, options());
  if (result.ok) throw new Error('it was read');
  for (const part of Object.values(result.error)) expect(part).not.toBe('');
  return result.error;
}

describe('text that is no song', () => {
  it('says what is wrong, where, and what to do', async () => {
    expect((await problem('')).what).toBe('there is nothing in it');
    expect((await problem('Dear band,\nsee you on Friday at eight.\n')).what).toContain(
      'no chords or headings',
    );
    expect((await problem('Key: G\nTempo: 90\n')).what).toBe('there are no words and no chords in it');
    expect((await problem('MThd\u0000\u0000\u0000\u0006')).what).toBe('this is not text');
  });

  it('refuses a text of 1 MB at once, and says the limit', async () => {
    const text = 'G      C\nover the hill and over again\n'.repeat(27_000);
    expect(text.length).toBeGreaterThan(1_000_000);
    expect((await problem(text)).what).toContain('200000');
  });

  it('refuses more bars and stanzas than a song has', async () => {
    expect((await problem(`[Verse]\n${'G C '.repeat(40_000)}\n`)).what).toMatch(/\d+ bars; at most 2000/);
    expect((await problem(`[Verse]\nG (64)\n${'C (64)\n'.repeat(60)}`)).what).toContain('at most 2000');
    const stanzas = Array.from(
      { length: 70 },
      (_, i) => `[Verse ${i + 1}]\nG\nnumber ${'x'.repeat(i + 1)}\n`,
    );
    expect((await problem(stanzas.join('\n'))).what).toContain('70 stanzas');
  });
});

describe('songs that lack something', () => {
  it('reads words without chords under a heading', async () => {
    const { song, report } = await read('[Verse]\nOver the hill we go\nand down again\n');
    expect(song.chords).toEqual([]);
    expect(song.notes).toHaveLength(10);
    expect(report.warnings.join('; ')).toContain('no chord symbols');
    expect(report.guessed.join('; ')).toContain('2 lines of words have no chords');
  });

  it('reads chords without words', async () => {
    const { song, report } = await read('Am | G | F | E7\n');
    expect(song.notes).toEqual([]);
    expect(song.passes[0]?.stanza).toBeNull();
    expect(report.warnings.join('; ')).toContain('there are no words');
  });

  it('keeps a chord symbol that nobody can read, and marks it', async () => {
    const { song, report } = await read('G    Gsus47    C\nOver the hill\n');
    expect(song.chords.map((chord) => chord.symbol)).toEqual(['G', 'Gsus47', 'C']);
    expect(report.warnings).toContain(
      'the chord symbol "Gsus47" is not understood; it is kept as written (line 1, column 6)',
    );
  });
});

describe('odd text', () => {
  it('reads words in any script, none lost', async () => {
    for (const words of [
      'горит огонь',
      'τρέχει το νερό',
      '川は流れる',
      '강물은 흐른다',
      'يجري النهر',
      'नदी बहती है',
      'แม่น้ำไหล',
      'e\u0301te\u0301 🎶 fini',
    ]) {
      const { song } = await read(`G        C\n${words}\n`);
      const back = song.notes.flatMap((note) =>
        note.syllables.flatMap((each) => (each ? [each.joins ? each.text : `${each.text} `] : [])),
      );
      expect(back.join('').replace(/\s+/g, ' ').trim(), words).toBe(words);
    }
  });

  it('lays a line with far too many words evenly, and says so', async () => {
    const { song, report } = await read(`G\n${'on and '.repeat(150)}\n`);
    expect(song.notes).toHaveLength(300);
    expect(report.warnings.join('; ')).toContain('300 syllables in 4 beats');
  });

  it('reads a word of 50 000 signs and a line of 10 000 blanks', async () => {
    const { song } = await read(`G\n${'a'.repeat(50_000)}\n${' '.repeat(10_000)}C\nend\n`);
    expect(song.notes.length).toBeGreaterThan(1);
  });

  it('answers any text', async () => {
    const piece = fc.constantFrom(
      'G',
      'C7',
      '|',
      '|:',
      ':|',
      '/',
      '%',
      '(2)',
      'x2',
      '[',
      ']',
      '[Verse]',
      'Chorus:',
      '\n',
      '\n\n',
      '  ',
      '\t',
      'word',
      'a',
      '-',
      'Key: ',
      'Capo 9',
      '3/4',
      '1. ',
      '{x}',
      'é',
      '語',
      '[D]',
      'N.C.',
    );
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.oneof(piece, fc.string({ maxLength: 4 })), { maxLength: 60 }),
        async (pieces) => {
          const result = await readPastedSong(pieces.join(''), options());
          if (!result.ok) return;
          expect(checkSong(result.value.song)).toEqual([]);
          songSchema.parse(result.value.song);
        },
      ),
      { numRuns: 300 },
    );
  });
});
