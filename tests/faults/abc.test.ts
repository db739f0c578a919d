import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt, makeIds, type Random, randomFrom } from '../../lib/base';
import { MOST_CHARACTERS, readAbc, readAbcBook, readPastedSong, readSongFile } from '../../lib/exchange';
import { checkSong, songSchema } from '../../lib/song';
import { read, tune } from '../unit/exchange/helpers';

const options = () => ({ makeId: makeIds(randomFrom(3)), title: 'Untitled' });

async function problem(text: string) {
  const result = await readAbc(text, options());
  if (result.ok) throw new Error('it was read');
  return result.error;
}

describe('text that is no song', () => {
  it('says what is wrong, where, and what to do', async () => {
    expect((await problem('')).what).toBe('there is nothing in it');
    expect((await problem('  \n\n \t')).what).toBe('there is nothing in it');
    expect((await problem('\u0000\u0001\u0002MThd')).what).toBe('this is not text');
    expect((await problem('Dear band,\nsee you on Friday.\n')).what).toBe('this does not look like ABC');
    expect((await problem('X:1\nT:Nothing\nM:4/4\nK:C\n')).what).toBe('this tune has no music');
    expect((await problem('X:1\nT:Nothing\nM:4/4\nK:C\n')).where).toBe('"Nothing", line 1');
    for (const text of ['', '\u0000', 'hello', 'X:1\nK:C\n']) {
      const { what, where, mend } = await problem(text);
      expect(Math.min(what.length, where.length, mend.length)).toBeGreaterThan(0);
    }
  });

  it('refuses binary data, whatever its first signs', async () => {
    const random = randomFrom(5);
    const bytes = Uint8Array.from({ length: 4000 }, () => Math.floor(random() * 256));
    const result = await readSongFile('song.abc', bytes, options());
    expect(result.ok ? '' : result.error.what).toBe('this is not text');
  });

  it('refuses 10 MB of ABC at once, and says the limit', async () => {
    const text = tune('CDEF GABc|\n'.repeat(900_000));
    expect(text.length).toBeGreaterThan(9_000_000);
    const { what, mend } = await problem(text);
    expect(what).toContain(String(MOST_CHARACTERS));
    expect(mend).not.toBe('');
    const bytes = await readSongFile('song.abc', new Uint8Array(10_000_000).fill(65), options());
    expect(bytes.ok ? '' : bytes.error.what).toContain(String(MOST_CHARACTERS));
  });

  it('names the endings that are read', async () => {
    for (const name of ['song.mp3', 'song', 'song.ABC.doc']) {
      const result = await readSongFile(name, 'X:1\nK:C\nc|', options());
      expect(result.ok ? '' : result.error.mend, name).toContain('.abc');
    }
    const pasted = await readPastedSong('These are words only\nwithout any tune', options());
    expect(pasted.ok ? '' : pasted.error.what).toContain('not ABC');
  });
});

describe('songs that lack something', () => {
  it('reads a melody without words, chords or tempo, and warns of each', async () => {
    const { song, report } = await read(tune('CDEF GABc|'));
    expect(song.notes).toHaveLength(8);
    expect(song.tempo).toBeNull();
    expect(report.warnings.join('; ')).toMatch(/no words/);
    expect(report.warnings.join('; ')).toMatch(/no chord symbols/);
    expect(report.warnings.join('; ')).toMatch(/no tempo is given; 100/);
  });

  it('reads chords over rests, and warns that there is no melody', async () => {
    const { song, report } = await read(tune('"G"z8|"C"z4 "D7"z4|'));
    expect(song.notes).toHaveLength(0);
    expect(song.chords.map((chord) => chord.symbol)).toEqual(['G', 'C', 'D7']);
    expect(report.warnings.join('; ')).toMatch(/no melody/);
  });

  it('reads one bar and one note', async () => {
    const { song } = await read(tune('c'));
    expect(song.notes).toHaveLength(1);
    expect(song.sections).toHaveLength(1);
    expect(song.passes).toHaveLength(1);
  });

  it('reads 500 bars', async () => {
    const { song } = await read(tune('"G"CDEF GABc|\n'.repeat(500)));
    expect(song.sections[0]?.bars).toHaveLength(500);
    expect(song.notes).toHaveLength(4000);
  });

  it('leaves a tempo of 0 out and says so', async () => {
    const { song, report } = await read(tune('c8|', 'M:4/4\nL:1/8\nQ:1/4=0\nK:C'));
    expect(song.tempo).toBeNull();
    expect(report.leftOut).toContainEqual({
      what: 'a tempo of 0 quarter notes a minute: from 10 to 600 can be played',
      line: 5,
      column: 3,
    });
  });

  it('keeps a chord symbol that nobody can read, and marks it', async () => {
    const { song, report } = await read(tune('"Gblah"c4 "D"d4|'));
    expect(song.chords.map((chord) => chord.symbol)).toEqual(['Gblah', 'D']);
    expect(report.warnings).toContain(
      'the chord symbol "Gblah" is not understood; it is kept as written (line 6, column 1)',
    );
  });
});

describe('broken ABC', () => {
  it('reads what can be read, and lists the rest with its place', async () => {
    const { song, report } = await read(tune('CDEF *GABc|\n"Gc4 d4|\nthis is no music at all\ne8 ?|'));
    expect(song.notes.length).toBeGreaterThanOrEqual(11);
    expect(report.leftOut).toContainEqual({
      what: 'a line that is no music: "this is no music at all"',
      line: 8,
      column: 1,
    });
    expect(report.leftOut).toContainEqual({ what: 'a quote that is not closed', line: 7, column: 1 });
    expect(report.leftOut).toContainEqual({
      what: 'a sign that music does not use: "*"',
      line: 6,
      column: 6,
    });
  });

  it('reads a tune whose key, meter or unit cannot be read', async () => {
    const { song, report } = await read('X:1\nM:seven\nL:x\nK:Q\nCDEF|\n');
    expect(song.notes).toHaveLength(4);
    expect(report.leftOut.map((left) => left.line)).toEqual([2, 3, 4]);
  });

  it('reads a tune without a number, and one without a key', async () => {
    expect((await read('T:No number\nM:4/4\nK:G\nFGAB|\n')).song.notes).toHaveLength(4);
    expect((await read('X:1\nT:No key\nM:4/4\nFGAB|\n')).report.guessed.join()).toContain('C major');
  });

  it('reads on after an empty line in the middle of the music', async () => {
    const { song, report } = await read(tune('CDEF GABc|\n\nc8|\n\nA remark between tunes.'));
    expect(song.notes).toHaveLength(9);
    expect(report.guessed.join()).toContain('after an empty line');
    expect(report.leftOut.map((left) => left.what)).toContain('a line of text outside the tunes');
  });

  it('lists syllables that have no note', async () => {
    const { report } = await read(tune('CD|\nw: one two three four'));
    expect(report.leftOut).toContainEqual({
      what: '2 syllables for which there is no note: "three four"',
      line: 7,
      column: 12,
    });
  });

  it('keeps one broken tune of a book from the others', async () => {
    const book = await readAbcBook('X:1\nT:One\nK:C\n\nX:2\nT:Two\nK:C\nc|\n', options());
    if (!book.ok) throw new Error(book.error.what);
    expect(book.value.map(({ title, result }) => [title, result.ok])).toEqual([
      ['One', false],
      ['Two', true],
    ]);
  });
});

/** Signs of music code, fields and words, so that chance makes much that is nearly ABC. */
const SCRAPS = [
  ...'CDEFGABcdefgabzxyZ|:[](){}<>-~^_=,\'/"!&%\\+$*.0123456789 \n',
  '|:',
  ':|',
  '::',
  '[1',
  '[2',
  '|1',
  ':|2',
  '"G"',
  '"^x"',
  '!fermata!',
  '{ab}',
  '(3',
  '[K:D]',
  '[M:3/4]',
  '[L:1/16]',
  '[Q:1/4=90]',
  '[V:1]',
  '[V:2]',
  '[P:A]',
  '[CEG]',
  '\nw: a-b c_ *|d\n',
  '\n+: more\n',
  '\nV:1\n',
  '\nP:B\n',
  '\nK:Am\n',
  '\n%%score (1 2)\n',
  '\nM:none\n',
  '\nL:0\n',
  '\nQ:"x"\n',
  '\nX:2\n',
  '\n\n',
  'z4',
  'Z9',
  'c99999999',
  'c/////////',
  '(9:9:99',
  '&&',
  '[[',
  ']]',
  '\r',
  '\t',
  'é',
  '💥',
];

function scramble(random: Random, length: number): string {
  return Array.from({ length }, () => itemAt(SCRAPS, Math.floor(random() * SCRAPS.length))).join('');
}

describe('anything at all', () => {
  it('never throws, and what it reads is a whole song', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.nat(),
        fc.integer({ min: 0, max: 120 }),
        fc.boolean(),
        async (seed, length, header) => {
          const body = scramble(randomFrom(seed), length);
          const result = await readAbc(header ? tune(body, 'M:4/4\nL:1/8\nP:AB\nK:C') : body, options());
          if (!result.ok) return;
          expect(checkSong(result.value.song)).toEqual([]);
          expect(songSchema.safeParse(result.value.song).error).toBeUndefined();
        },
      ),
      { numRuns: 400 },
    );
  });

  it('takes time in proportion to the text', async () => {
    const hard = ['[', '"', '((((', '!', '-', '{', '(3', ':|', '[1', '[K:', '|', 'c/', '&', 'w: ', '~'];
    for (const scrap of hard) {
      const result = await readAbc(tune(scrap.repeat(20_000)), options());
      if (result.ok) expect(checkSong(result.value.song)).toEqual([]);
    }
  });
});
