import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt, makeIds, randomFrom } from '../../../lib/base';
import { listAbcTunes, readAbc, readAbcBook, readPastedSong, readSongFile } from '../../../lib/exchange';
import { beatOf } from '../../../lib/time';
import { barLengths, notesOf, pitches, read, roadmap, tune, words } from './helpers';

describe('voices', () => {
  it('puts the top voice of the score first, whatever stands first in the file', async () => {
    const { song } = await read(
      tune('[V:low] C8|\n[V:high] c8|', '%%score high low\nM:4/4\nL:1/8\nV:low name="Baritone"\nV:high\nK:C'),
    );
    expect(song.voices.map(({ name, part }) => [name, part])).toEqual([
      ['high', 'lead'],
      ['Baritone', 'baritone'],
    ]);
    expect([pitches(song, 0), pitches(song, 1)]).toEqual([[72], [60]]);
  });

  it('names parts by order where names say nothing', async () => {
    const { song } = await read(tune('V:1\nc8|\nV:2\nA8|\nV:3\nF8|\nV:4\nC8|'));
    expect(song.voices.map((voice) => voice.part)).toEqual(['lead', 'tenor', 'baritone', 'other']);
  });

  it('lays words under the voice that they follow', async () => {
    const { song } = await read(tune('[V:1] CD|\n[V:2] EF|\nw: low words\n[V:1] GA|\nw: high ones'));
    expect(words(song, 1, 1)).toEqual(['low', 'words']);
    expect(words(song, 1, 0).slice(2)).toEqual(['high', 'ones']);
  });

  it('makes a bar as long as the longest voice, and reports that they differ', async () => {
    const { song, report } = await read(tune('V:1\nC6|D8|\nV:2\nE8|F8|'));
    expect(barLengths(song)).toEqual([3840, 3840]);
    expect(report.warnings.join()).toContain('bar 1: voice 2 holds 4 quarter notes, the top voice 3');
    expect(notesOf(song, 0)[1]?.[1]).toBe(3840);
  });

  it('lays a voice that lacks a barline by time', async () => {
    const { song, report } = await read(tune('V:1\nC8|D8|E8|\nV:2\nE8 F8|G8|'));
    expect(notesOf(song, 1)).toEqual([
      [64, 0, 3840],
      [65, 3840, 3840],
      [67, 7680, 3840],
    ]);
    expect(report.guessed.join()).toContain('lacks a barline');
  });

  it('leaves an overlay out and reports it', async () => {
    const { song, report } = await read(tune('c8 & E8 | d8 |'));
    expect(pitches(song)).toEqual([72, 74]);
    expect(report.leftOut.map(({ line, column }) => [line, column])).toEqual([[6, 4]]);
  });
});

describe('bars', () => {
  it('reads a pickup, a crooked bar and a change of meter', async () => {
    const { song } = await read(tune('G2|c2d2 e2f2|g6|[M:3/4]e2d2c2|', 'M:4/4\nL:1/8\nK:C'));
    const bars = song.sections[0]?.bars ?? [];
    expect(bars.map((bar) => bar.ticks)).toEqual([960, 3840, 2880, 2880]);
    expect(bars.map((bar) => bar.pickup)).toEqual([true, false, false, false]);
    expect(bars.map((bar) => `${bar.meter.count}/${bar.meter.unit}`)).toEqual(['4/4', '4/4', '4/4', '3/4']);
  });

  it('keeps halves of a bar that a repeat sign divides as two short bars', async () => {
    const { song } = await read(tune('G2|:c2d2 e2f2|g6:|G2|c8|]'));
    expect(barLengths(song)).toEqual([960, 3840, 2880, 960, 3840]);
    expect(song.sections.map((section) => section.bars[0]?.pickup)).toEqual([true, true]);
    expect(song.sections[0]?.bars.map((bar) => bar.endings)).toEqual([[1], [], []]);
    expect(roadmap(song)).toEqual(['A 1 1', 'A 1 2', 'B 1 1']);
  });

  it('counts bars without meter by what they hold', async () => {
    const { song } = await read(tune('c4 d2|e3|', 'M:none\nL:1/4\nK:C'));
    expect(song.sections[0]?.bars.map((bar) => `${bar.meter.count}/${bar.meter.unit}`)).toEqual([
      '6/4',
      '3/4',
    ]);
  });

  it('carries changes of key and tempo on the bar where they come', async () => {
    const { song } = await read(tune('[Q:1/4=90] f8|[K:G][Q:1/4=120] f8|\nK:F\nb8|'));
    const bars = song.sections[0]?.bars ?? [];
    expect(song.tempo).toBe(90);
    expect(bars.map((bar) => bar.tempo)).toEqual([null, 120, null]);
    expect(bars.map((bar) => bar.key?.tonic ?? null)).toEqual([null, 'G', 'F']);
    expect(pitches(song)).toEqual([77, 78, 82]);
  });

  it('holds an accidental over a tie, not beyond it', async () => {
    expect(notesOf((await read(tune('^f8-|f4 f4|'))).song)).toEqual([
      [78, 0, 5760],
      [77, 5760, 1920],
    ]);
  });
});

describe('signs', () => {
  it('reads fermatas and breaths on the note that they follow or stand before', async () => {
    const { song, report } = await read(
      tune('C2 !fermata!D2 HE2 !breath!F2 | G4 A4 !shortphrase! | !trill!c8 |'),
    );
    expect(song.notes.map((note) => note.fermata)).toEqual([false, true, true, false, false, false, false]);
    expect(song.notes.map((note) => note.breath)).toEqual([false, false, false, true, false, true, false]);
    expect(report.leftOut.map((left) => left.what)).toEqual(['a decoration (trill)']);
  });

  it('reads decorations that nobody knows, and those of the file’s own', async () => {
    const { song } = await read(tune('!sintro!CDEF Whold4 !eintro!|', 'U:W=!fermata!\nM:4/4\nL:1/8\nK:C'));
    expect(song.notes[0]?.fermata).toBe(false);
    const own = await read(tune('C4 WD4 |', 'U:W=!fermata!\nM:4/4\nL:1/8\nK:C'));
    expect(own.song.notes.map((note) => note.fermata)).toEqual([false, true]);
  });

  it('goes on over a line that ends in a backslash', async () => {
    const { song } = await read(tune('CDEF \\\nGABc|\nw: do re mi fa sol la ti do'));
    expect(words(song)).toEqual(['do', 're', 'mi', 'fa', 'sol', 'la', 'ti', 'do']);
  });

  it('reads swing from its directive, as a line of its own or as an instruction', async () => {
    expect((await read(tune('c8|'))).song.feel.ratio).toBe(1);
    expect((await read(tune('c8|', '%%breathmark-swing 2\nK:C'))).song.feel.ratio).toBe(2);
    expect((await read(tune('c8|', 'I:breathmark-swing 1.5\nK:C'))).song.feel.ratio).toBe(1.5);
    const wrong = await read(tune('c8|', '%%breathmark-swing 9\nK:C'));
    expect(wrong.report.leftOut[0]?.line).toBe(3);
  });
});

describe('words', () => {
  it('marks the end of a line of words, and keeps the text as written', async () => {
    const { song } = await read(tune('CDEF|\nw: "Oh, my dear!\nGA|\nw: Good- bye."'));
    expect(words(song)).toEqual(['"Oh,', 'my', 'dear!', '', 'Good-', 'bye."']);
    expect(song.notes.map((note) => note.syllables[0]?.endsLine ?? null)).toEqual([
      false,
      false,
      true,
      null,
      false,
      true,
    ]);
  });

  it('lays tied notes as one where words fit only so', async () => {
    const { song, report } = await read(tune('C4-C4|D4 E4|\nw: Hold it there'));
    expect(words(song)).toEqual(['Hold', 'it', 'there']);
    expect(report.guessed.join()).toContain('tied notes count as one');
  });

  it('takes the last line before words where they fit it, and the first of them by version 2.1', async () => {
    const music = 'CDEF|\nGABc|\nw: do re mi fa';
    expect(words((await read(tune(music))).song)).toEqual(['', '', '', '', 'do', 're', 'mi', 'fa']);
    expect(words((await read(`%abc-2.1\n${tune(music)}`)).song).slice(0, 4)).toEqual([
      'do',
      're',
      'mi',
      'fa',
    ]);
  });

  it('sings words written once in every stanza of their section', async () => {
    const { song } = await read(tune('CD|\nw: one sun\nw: two moons\nEF|\nw: shine on'));
    expect(words(song, 2)).toEqual(['two', 'moons', 'shine', 'on']);
    const numbered = await read(tune('CD|\nw: 1.~a b\nw: 2.~c d\nw: 3.~e f\nEF|\nw: x y\nw: 3.~last one'));
    expect(words(numbered.song, 2).slice(2)).toEqual(['x', 'y']);
    expect(words(numbered.song, 3).slice(2)).toEqual(['last', 'one']);
  });

  it('sings a refrain in every stanza where the others leave it out to the end', async () => {
    const { song } = await read(tune('CD EF GA|\nw: one sun shines on and on\nw: two moons * * * *'));
    expect(words(song, 2)).toEqual(['two', 'moons', 'shines', 'on', 'and', 'on']);
  });
});

describe('roadmap', () => {
  it('runs through a tune without labels once for each stanza', async () => {
    const { song } = await read(tune('CDEF|\nw: a b c d\nw: e f g h\nw: i j k l'));
    expect(roadmap(song)).toEqual(['Verse 1 1', 'Verse 2 1', 'Verse 3 1']);
    expect(roadmap((await read(tune('CDEF|'))).song)).toEqual(['Tune 1 1']);
  });

  it('gives each time through a repeat its stanza', async () => {
    const { song } = await read(
      tune('|:CDEF|1 GABc:|2 GABC|]\nw: a b c d e f g h i j k l\nw: m n o p q r s t u v w x'),
    );
    expect(roadmap(song)).toEqual(['Verse 1 1', 'Verse 2 2']);
  });

  it('sings every stanza of the verse, with its chorus each time, and nobody in a break', async () => {
    const { song } = await read(tune('P:V\nCD|\nw: a b\nw: c d\nP:C\nEF|\nw: x y\nP:Break\nGA|'));
    expect(roadmap(song)).toEqual([
      'Verse 1 1',
      'Chorus 1 1',
      'Break nobody 1',
      'Verse 2 1',
      'Chorus 1 1',
      'Break nobody 1',
    ]);
  });

  it('follows an order of letters or of whole labels', async () => {
    const body = 'P:Verse\nCD|\nw: a b\nw: c d\nP:Chorus\nEF|\nw: x y\nP:Break\nGA|';
    const wanted = ['Verse 1 1', 'Chorus 1 1', 'Break nobody 1', 'Verse 2 1'];
    expect(roadmap((await read(tune(body, 'P:VCBV\nL:1/8\nK:C'))).song)).toEqual(wanted);
    expect(roadmap((await read(tune(body, 'P:Verse, Chorus, Break, Verse\nL:1/8\nK:C'))).song)).toEqual(
      wanted,
    );
    const lost = await read(tune(body, 'P:VX\nL:1/8\nK:C'));
    expect(roadmap(lost.song)).toEqual(['Verse 1 1']);
    expect(lost.report.leftOut.map((left) => left.what)).toContain(
      'a part in the order of parts that the tune does not have: "X"',
    );
  });

  it('repeats several labelled parts together where the signs embrace them', async () => {
    const { song } = await read(tune('|:\nP:A\nc8|\nP:B\nd8:|\nP:C\ne8|'));
    expect(
      roadmap(song)
        .map((pass) => pass.charAt(0))
        .join(''),
    ).toBe('ABABC');
  });
});

describe('files', () => {
  const options = () => ({ makeId: makeIds(randomFrom(2)), title: 'Untitled' });

  it('lists and reads the tunes of a book', async () => {
    const text = 'M:3/4\n\nX:1\nT:First\nL:1/4\nK:C\ncde|\n\nX:2\nT:Second\nL:1/4\nK:G\nfga|\n';
    const list = listAbcTunes(text);
    expect(list.ok && list.value).toEqual([
      { number: '1', title: 'First', line: 3 },
      { number: '2', title: 'Second', line: 9 },
    ]);
    const book = await readAbcBook(text, options());
    if (!book.ok) throw new Error(book.error.what);
    const songs = book.value.map(({ result }) => (result.ok ? result.value.song : null));
    expect(songs.map((song) => [song?.title, song?.key.tonic])).toEqual([
      ['First', 'C'],
      ['Second', 'G'],
    ]);
    expect(songs[0]?.sections[0]?.bars[0]?.meter).toEqual({ count: 3, unit: 4 });
  });

  it('takes a title from the file name where the text has none, and reads Latin-1', async () => {
    const bytes = new Uint8Array([...new TextEncoder().encode('X:1\nK:C\nc|\nw: caf'), 0xe9, 10]);
    const result = await readSongFile('songs/Early train.abc', bytes, {
      makeId: makeIds(randomFrom(2)),
    });
    if (!result.ok) throw new Error(result.error.what);
    expect(result.value.song.title).toBe('Early train');
    expect(words(result.value.song)).toEqual(['café']);
    expect((await readPastedSong('X:1\r\nT:Pasted\r\nK:C\r\nc|\r\n', options())).ok).toBe(true);
  });

  it('gives the same song for the same text and ids', async () => {
    const text = tune('|:"G"CDEF|GABc:|\nw: a b c d e f g h');
    expect(await readAbc(text, options())).toEqual(await readAbc(text, options()));
  });

  it('reads mnemonics of text', async () => {
    expect((await read(tune('c|').replace('Test', "Caf\\'e \\u00fcber &eacute;t&eacute;"))).song.title).toBe(
      'Café über été',
    );
  });
});

/** A written note: steps above middle C, alteration or none, sixteenths; or a rest. */
interface Written {
  readonly step: number | null;
  readonly alter: number | null;
  readonly sixteenths: number;
}

const SCALE = [0, 2, 4, 5, 7, 9, 11];
const SIGNS: Readonly<Record<string, string>> = { '-1': '_', 0: '=', 1: '^' };

function abcOf({ step, alter, sixteenths }: Written): string {
  const length = sixteenths === 1 ? '' : String(sixteenths);
  if (step === null) return `z${length}`;
  const octave = Math.floor(step / 7);
  const letter = itemAt([...'CDEFGAB'], step - octave * 7);
  const name = octave >= 1 ? letter.toLowerCase() + "'".repeat(octave - 1) : letter + ','.repeat(-octave);
  return `${alter === null ? '' : SIGNS[alter]}${name}${length}`;
}

const note: fc.Arbitrary<Written> = fc.record({
  step: fc.option(fc.integer({ min: -10, max: 16 }), { freq: 6 }),
  alter: fc.option(fc.integer({ min: -1, max: 1 }), { freq: 2 }),
  sixteenths: fc.integer({ min: 1, max: 8 }),
});
const song = fc.array(fc.array(note, { minLength: 1, maxLength: 9 }), { minLength: 1, maxLength: 12 });

describe('random tunes', () => {
  it('come back as the notes that they were written from', async () => {
    await fc.assert(
      fc.asyncProperty(song, fc.integer({ min: 1, max: 4 }), async (bars, toALine) => {
        const expected: number[][] = [];
        let tick = 0;
        for (const bar of bars) {
          const altered = new Map<number, number>();
          for (const { step, alter, sixteenths } of bar) {
            if (step !== null) {
              const degree = ((step % 7) + 7) % 7;
              if (alter !== null) altered.set(degree, alter);
              const midi =
                60 + 12 * Math.floor(step / 7) + itemAt(SCALE, degree) + (altered.get(degree) ?? 0);
              expected.push([midi, tick, sixteenths * 240]);
            }
            tick += sixteenths * 240;
          }
        }
        const written = bars.map((bar) => `${bar.map(abcOf).join(' ')} |`);
        const music = written.map((bar, i) => bar + (i % toALine === toALine - 1 ? '\n' : ' ')).join('');
        const { song } = await read(tune(music, 'M:none\nL:1/16\nK:C'));
        expect(notesOf(song)).toEqual(expected);
        expect(barLengths(song).reduce((sum, ticks) => sum + ticks, 0)).toBe(tick);
      }),
      { numRuns: 150 },
    );
  });

  it('come back with their words, line by line', async () => {
    const syllable = fc.constantFrom('la', 'lo', 'star-', 'light', '_', '*', "o'er", 'two~words');
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.array(syllable, { minLength: 1, maxLength: 8 }), { minLength: 1, maxLength: 6 }),
        async (lines) => {
          const music = lines.map((line) => `${'c'.repeat(line.length)}|\nw: ${line.join(' ')}\n`).join('');
          const { song } = await read(tune(music));
          const expected = lines
            .flat()
            .map((each) => (each === '_' || each === '*' ? '' : each.replace('~', ' ')));
          expect(words(song)).toEqual(expected);
          expect(song.notes.every((each) => beatOf({ count: 4, unit: 4 }, each.offset) >= 1)).toBe(true);
        },
      ),
      { numRuns: 100 },
    );
  });
});
