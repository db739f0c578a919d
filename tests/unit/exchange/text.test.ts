import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt, makeIds, must, randomFrom } from '../../../lib/base';
import { readPastedSong, readSongFile, type SongRead } from '../../../lib/exchange';
import { checkSong, type Song, songSchema } from '../../../lib/song';
import { roadmap } from './helpers';

const options = () => ({ makeId: makeIds(randomFrom(7)), title: 'Untitled' });

async function read(text: string): Promise<SongRead> {
  const result = await readSongFile('song.txt', text, options());
  if (!result.ok) throw new Error(`${result.error.what} (${result.error.where})`);
  expect(checkSong(result.value.song)).toEqual([]);
  songSchema.parse(result.value.song);
  return result.value;
}

/** Chords bar by bar, each with its beat from 1 in quarters, sections parted by `//`. */
const chart = (song: Song): string =>
  song.sections
    .map((section) =>
      section.bars
        .map((bar) =>
          song.chords
            .filter((chord) => chord.barId === bar.id)
            .map((chord) => (chord.offset === 0 ? chord.symbol : `${chord.symbol}@${chord.offset / 960 + 1}`))
            .join(' '),
        )
        .join(' | '),
    )
    .join(' // ');

/** Where syllables begin, `bar.beat text`, bars from 0 in the section. */
function places(song: Song, section = 0, stanza = 1): string[] {
  const bars = itemAt(song.sections, section).bars;
  return bars.flatMap((bar, b) =>
    song.notes
      .filter((note) => note.barId === bar.id)
      .sort((x, y) => x.offset - y.offset)
      .flatMap((note) => {
        const syllable = note.syllables[stanza - 1];
        return syllable ? [`${b}.${note.offset / 960 + 1} ${syllable.text}`] : [];
      }),
  );
}

describe('chords above words', () => {
  it('takes each chord as a bar, and a syllable under a chord with it', async () => {
    const { song, report } = await read('[Verse]\nG       C\nMary is home,\n');
    expect(chart(song)).toBe('G | C');
    expect(places(song)).toContain('0.1 Ma');
    expect(places(song)).toContain('1.1 home,');
    expect(song.notes.every((note) => note.midi === null)).toBe(true);
    expect(report.guessed.join('; ')).toContain('each chord was taken as one bar of 4/4');
    expect(report.warnings.join('; ')).toContain('the tune is not written');
  });

  it('counts beats and bars that are marked after a chord', async () => {
    expect(chart((await read('[A part]\nG / / / C / D7 /\n')).song)).toBe('G | C D7@3');
    expect(chart((await read('[A part]\nG . . . C . . .\n')).song)).toBe('G | C');
    expect(chart((await read('[A part]\nG (2) C D7\n')).song)).toBe('G |  | C | D7');
    expect(chart((await read('[A part]\nG (2 beats) C (2 beats) D7\n')).song)).toBe('G C@3 | D7');
    expect(chart((await read('[A part]\nG - C - D7\n')).song)).toBe('G | C | D7');
    expect(chart((await read('[A part]\nG/// C///\n')).song)).toBe('G | C');
  });

  it('takes what stands between barlines as a bar', async () => {
    expect(chart((await read('[A part]\n| G | C D7 | G | % |\n')).song)).toBe('G | C D7@3 | G | ');
    expect(chart((await read('[A part]\n|G|C D7 G|Em / / D|\n')).song)).toBe('G | C D7@3 G@4 | Em D@4');
    expect(chart((await read('3/4\n[A part]\nG | C D7 | G C D\n')).song)).toBe('G | C D7@3 | G C@2 D@3');
  });

  it('lets words before the first chord lead in from the bar before, and a pickup bar before the first', async () => {
    const { song } = await read(
      '[Verse]\n    G        C\nThe river is wide,\n    D        G\nthe river is wide.\n',
    );
    const bars = itemAt(song.sections, 0).bars;
    expect(bars.map((bar) => [bar.pickup, bar.ticks])).toEqual([
      [true, 960],
      [false, 3840],
      [false, 3840],
      [false, 3840],
      [false, 3840],
    ]);
    expect(places(song)).toContain('0.1 The');
    expect(places(song)).toContain('1.1 ri');
    expect(places(song).filter((place) => place.endsWith(' the'))).toEqual(['2.4 the']);
  });

  it('shortens the last bar before a part that begins with a pickup', async () => {
    const { song } = await read(
      '[Verse]\nG\nSleep,\n\n[Chorus]\n    C      G\nand wake again\n\n[Verse 2]\nG\nRise,\n\n[Chorus]\n',
    );
    const [verse, chorus] = song.sections.map((section) => section.bars.map((bar) => bar.ticks));
    expect(verse).toEqual([2880]);
    expect(chorus).toEqual([960, 3840, 3840]);
    expect(roadmap(song)).toEqual(['Verse 1 1', 'Chorus 1 1', 'Verse 2 1', 'Chorus 1 1']);
  });

  it('reads chords in brackets among the words', async () => {
    const { song } = await read('Key: D\n\n[D]Walk with me [G]out,\nthe [A7]gate is [D]open [D]\n');
    expect(chart(song)).toBe('D | G | A7 | D | D');
    expect(places(song)).toEqual(expect.arrayContaining(['0.1 Walk', '1.1 out,', '2.1 gate', '3.1 o']));
  });

  it('knows chords from words', async () => {
    const { song } = await read('Key: C\n\nAm      F\nGo and see Emma,\nC    G7\nDo as I say\n');
    expect(chart(song)).toBe('Am | F | C | G7');
    expect(places(song).map((place) => place.split(' ')[1])).toEqual(
      'Go and see Em ma, Do as I say'.split(' '),
    );
  });
});

describe('parts and passes', () => {
  it('makes stanzas of verses with the same chords, and of words alone with as many lines', async () => {
    const text =
      '[Verse 1]\nG    C\nOne by one\n\n[Verse 2]\nG    C\nTwo by two\n\n[Verse 3]\nThree by three\n';
    const { song } = await read(text);
    expect(song.sections.map((section) => section.name)).toEqual(['Verse']);
    expect(roadmap(song)).toEqual(['Verse 1 1', 'Verse 2 1', 'Verse 3 1']);
    expect([1, 2, 3].map((stanza) => places(song, 0, stanza)[0]?.split(' ')[1])).toEqual([
      'One',
      'Two',
      'Three',
    ]);
  });

  it('keeps verses apart whose chords differ', async () => {
    const { song } = await read('[Verse 1]\nG    C\nOne by one\n\n[Verse 2]\nG    D7\nTwo by two\n');
    expect(song.sections.map((section) => section.name)).toEqual(['Verse 1', 'Verse 2']);
  });

  it('plays a part again where its heading stands alone, as often as it says', async () => {
    const { song } = await read('Verse:\nG\nOne\n\nChorus:\nC\nAll\n\nChorus x2\n\n[Chorus] x2\n');
    expect(roadmap(song)).toEqual(['Verse 1 1', ...Array(5).fill('Chorus 1 1')]);
  });

  it('reads stanzas without headings, and names the words that come back a chorus', async () => {
    const chorus = 'C    G\nHome again\nD    G\nhome again\n';
    const { song } = await read(`Key: G\n\nG    C\nOne by one\n\n${chorus}\nG    C\nTwo by two\n\n${chorus}`);
    expect(roadmap(song)).toEqual(['Verse 1 1', 'Chorus 1 1', 'Verse 2 1', 'Chorus 1 1']);
  });

  it('takes chords alone as a part that nobody sings', async () => {
    const { song } = await read('Intro: G C\n\n[Verse]\nG   C\nSing it\n');
    expect(roadmap(song)).toEqual(['Intro nobody 1', 'Verse 1 1']);
  });

  it('keeps the words of a block whose chords stood alone before it', async () => {
    for (const text of ['[Verse]\nG C\n\nG    C\nOne by one\n', 'Key: G\n\nG C\n\nG    C\nOne by one\n']) {
      const { song } = await read(text);
      expect(song.notes.flatMap((note) => note.syllables[0]?.text ?? [])).toEqual(['One', 'by', 'one']);
      expect(song.passes.some((pass) => pass.stanza === 1)).toBe(true);
    }
  });

  it('reads numbers before stanzas', async () => {
    const { song } = await read('Key: G\n\n   G    C\n1. One by one\n\n2. Two by two\n');
    expect(song.notes.flatMap((note) => note.syllables[1]?.text ?? [])).toEqual(['Two', 'by', 'two']);
  });
});

describe('lines in plain English', () => {
  it('reads title, key, tempo, meter and feel, several on a line', async () => {
    const { song, report } = await read(
      'Title: Low Gate\nKey: Em   Tempo: 76 bpm\n3/4, swing\n\nEm    D\nSo it goes\n',
    );
    expect(song).toMatchObject({
      title: 'Low Gate',
      key: { tonic: 'E', mode: 'minor' },
      tempo: 76,
      feel: { ratio: 2 },
    });
    expect(itemAt(itemAt(song.sections, 0).bars, 0).meter).toEqual({ count: 3, unit: 4 });
    expect(report.leftOut).toEqual([]);
  });

  it('takes chords over a capo as shapes, and says so', async () => {
    const text = (key: string) => `${key}Capo 2\n\nG      D      G\nHere we are now\n`;
    for (const key of ['', 'Key: G\n', 'Key: A\n']) {
      const { song, report } = await read(text(key));
      expect(chart(song)).toBe('A | E | A');
      expect(song.key.tonic, key).toBe('A');
      expect(report.guessed.join('; ')).toContain('capo at fret 2');
    }
  });

  it('guesses the key from the chords', async () => {
    expect((await read('[V]\nD  G  A7  D\n')).song.key).toEqual({ tonic: 'D', mode: 'major' });
    expect((await read('[V]\nAm  Dm  E7  Am\n')).song.key).toEqual({ tonic: 'A', mode: 'minor' });
  });

  it('counts the tempo in beats of the meter', async () => {
    expect((await read('6/8\nTempo: 60\n\nG   D\nRow on\n')).song.tempo).toBe(90);
  });

  it('lists what it leaves out with its place', async () => {
    const { report } = await read(
      'Low Gate\nWords by a friend of ours\nKey: H\n\nG   (let it ring)\nHome\ne|--0--2--3--2--0--|\n\nChorus\n',
    );
    expect(report.leftOut.map(({ what, line }) => `${line}: ${what}`)).toEqual([
      '2: a line about the song: "Words by a friend of ours"',
      '3: a line about the song that cannot be read: "Key: H"',
      '5: a remark among the chords: "(let it ring)"',
      '7: a line of tablature',
      '9: a heading with nothing under it: "Chorus"',
    ]);
  });
});

describe('words on beats', () => {
  it('puts stress on strong beats where there is a choice', async () => {
    const { song } = await read('[Verse]\n    G (2)\nThe morning is coming to me\n');
    const beatOf = (text: string) => {
      const place = must(
        places(song).find((each) => each.endsWith(` ${text}`)),
        text,
      );
      return Number(/^\d+\.([\d.]+) /.exec(place)?.[1]);
    };
    expect(beatOf('morn')).toBe(1);
    expect(Number.isInteger(beatOf('com'))).toBe(true);
    expect([beatOf('is'), beatOf('to')]).not.toContain(1);
  });

  it('never loses a syllable, and lays them in order, whatever the words and chords', async () => {
    const word = fc.constantFrom(
      'river',
      'a',
      'the',
      'morning',
      'líonn',
      'день',
      '歌う',
      'שלום',
      "o'er",
      'x',
      '12',
    );
    const chord = fc.constantFrom('G', 'C', 'D7', 'F#m', 'Bb/D', 'N.C.');
    const line = fc.tuple(
      fc.array(chord, { minLength: 1, maxLength: 5 }),
      fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 5, maxLength: 5 }),
      fc.array(word, { maxLength: 14 }),
    );
    await fc.assert(
      fc.asyncProperty(
        fc.array(line, { minLength: 1, maxLength: 4 }),
        fc.constantFrom('4/4', '3/4', '6/8', '2/2', '7/8'),
        async (lines, meter) => {
          const text = lines
            .map(
              ([chords, gaps, words]) =>
                `${chords.map((each, i) => ' '.repeat(itemAt(gaps, i)) + each).join('')}\n${words.join(' ')}`,
            )
            .join('\n');
          const { song } = await read(`Key: G\n${meter}\n\n[Verse]\n${text}\n`);
          const sung = song.notes.flatMap((note) => note.syllables.flatMap((syllable) => syllable ?? []));
          const back = sung
            .map(({ text: own, joins }) => (joins ? own : `${own} `))
            .join('')
            .trim();
          const words = lines.flatMap(([, , own]) => own).join(' ');
          expect(back).toBe(words);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('has all words of a line begun where a chord stands behind them', async () => {
    const { song } = await read('[Verse]\nG        C       G\nDown by the mill road\n');
    const behind = await read('[Verse]\nG        C              G\nDown by the mill road\n');
    expect(places(song)).toContain('2.1 road');
    expect(places(behind.song).every((place) => place < '2.1')).toBe(true);
    expect(chart(behind.song)).toBe('G | C | G');
  });

  it('leaves a stanza silent until its own words begin', async () => {
    const { song } = await read(
      '[Verse 1]\nG        C\nmorning comes up on the hill\n\n[Verse 2]\nup on the hill\n',
    );
    const first = itemAt(song.notes, 0);
    expect(first.stanzas).toEqual(first.syllables[1] ? [] : [1]);
    for (const note of song.notes)
      for (const stanza of [1, 2])
        if (note.syllables[stanza - 1]) expect([0, stanza]).toContain(note.stanzas.length === 0 ? 0 : stanza);
    const second = song.notes.findIndex((note) => note.syllables[1]);
    song.notes.forEach(({ stanzas }, i) => {
      expect(stanzas.length === 0 || stanzas.includes(2)).toBe(i >= second);
    });
  });

  it('reads what is pasted like a file', async () => {
    const text = '[Verse]\nG   C\nSing it\n';
    const pasted = await readPastedSong(text, options());
    expect(pasted.ok && pasted.value.song).toEqual((await read(text)).song);
  });

  it('reads ABC in a text file as ABC', async () => {
    expect((await read('X:1\nT:Low\nK:G\nGABc|\n')).song.notes[0]?.midi).toBe(67);
  });
});
