import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { strToU8, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { itemAt, makeIds, randomFrom } from '../../../lib/base';
import { readPastedSong, readSongFile, type SongRead } from '../../../lib/exchange';
import { checkSong, songSchema } from '../../../lib/song';
import { parseChord } from '../../../lib/theory';
import { barLengths, notesOf, pitches, roadmap, words } from './helpers';
import { lyric, REPEAT_END, REPEAT_START, type ScoreNote, writeMeasures, writeScore } from './score-writer';

const TUNES = join(import.meta.dirname, '../../tunes');
const bytesOf = (name: string) => new Uint8Array(readFileSync(join(TUNES, name)));
const options = () => ({ makeId: makeIds(randomFrom(7)), title: 'Untitled' });

async function read(content: string | Uint8Array, name = 'score.musicxml'): Promise<SongRead> {
  const result = await readSongFile(name, content, options());
  if (!result.ok) throw new Error(`${result.error.what} (${result.error.where})`);
  expect(checkSong(result.value.song)).toEqual([]);
  songSchema.parse(result.value.song);
  return result.value;
}

const one = (notes: readonly ScoreNote[], attributes = '', head = '') =>
  writeScore([{ name: 'Voice', measures: writeMeasures([{ notes, meter: [4, 4], head }], attributes) }]);
const quarter = (midi: number, more: Partial<ScoreNote> = {}): ScoreNote => ({ midi, twelfths: 12, ...more });

describe('a lead sheet', () => {
  // Common practice, no source: counted by hand from the file.
  it('reads melody, words of both stanzas, chords, tempo, swing, repeat with endings and names of parts', async () => {
    const { song, report } = await read(bytesOf('mill-race.musicxml'));
    expect(song).toMatchObject({
      title: 'Mill Race',
      key: { tonic: 'G', mode: 'major' },
      tempo: 104,
      feel: { ratio: 2 },
    });
    expect(roadmap(song)).toEqual(['Verse 1 1', 'Verse 2 2', 'Chorus 1 1']);
    expect(itemAt(itemAt(song.sections, 0).bars, 0)).toMatchObject({ pickup: true, ticks: 960 });
    expect(words(song, 1).slice(0, 7)).toEqual(['The', 'mill-', 'race', 'runs', 'be-', 'low', 'the']);
    expect(words(song, 2).slice(7, 13)).toEqual(['o-', 'ver', 'the', 'hill', 'I am', 'still']);
    expect(song.chords.map(({ symbol }) => symbol)).toEqual([
      'G',
      'Cmaj7',
      'Am7',
      'D7',
      'D7/F#',
      'G',
      'Em',
      'C',
      'D7sus4',
      'N.C.',
      'G',
    ]);
    const held = song.notes.find((note) => note.syllables[0]?.text === 'know');
    expect(held?.ticks).toBe(6 * 960);
    expect(song.notes.filter((note) => note.breath).map((note) => note.syllables[0]?.text)).toEqual(['dow']);
    expect(song.notes.filter((note) => note.fermata).map((note) => note.syllables[0]?.text)).toEqual([
      'home.',
    ]);
    expect(report.leftOut.map(({ what, place }) => [what, place])).toEqual([
      ['a grace note', 'bar 6'],
      ['the lower note of a chord', 'bar 7'],
    ]);
    expect(report.read).toContain('2 stanzas');
  });

  it('reads the same from a compressed file, whatever its ending, and from pasted text', async () => {
    const plain = (await read(bytesOf('mill-race.musicxml'))).song;
    const container =
      '<?xml version="1.0"?><container><rootfiles><rootfile full-path="scores/a.musicxml"/></rootfiles></container>';
    const packed = zipSync({
      'META-INF/container.xml': strToU8(container),
      'other.xml': strToU8('<opus/>'),
      'scores/a.musicxml': bytesOf('mill-race.musicxml'),
    });
    expect((await read(packed, 'a.mxl')).song).toEqual(plain);
    expect((await read(packed, 'a.musicxml')).song).toEqual(plain);
    expect((await read(zipSync({ 'b.xml': bytesOf('mill-race.musicxml') }), 'a.mxl')).song).toEqual(plain);
    const pasted = await readPastedSong(new TextDecoder().decode(bytesOf('mill-race.musicxml')), options());
    expect(pasted.ok && pasted.value.song).toEqual(plain);
  });

  it('reads UTF-16 as well', async () => {
    const text = one([quarter(60, { more: lyric('Wörter') })]).replace('UTF-8', 'UTF-16');
    const bytes = new Uint8Array(2 + text.length * 2);
    bytes.set([0xff, 0xfe]);
    for (let i = 0; i < text.length; i++)
      bytes.set([text.charCodeAt(i) & 255, text.charCodeAt(i) >> 8], 2 + 2 * i);
    expect(words((await read(bytes)).song)).toEqual(['Wörter']);
  });
});

describe('voices and parts', () => {
  it('keeps those that have words, names them, and says which it leaves out', async () => {
    const { song, report } = await read(bytesOf('gate-post.musicxml'));
    expect(song.voices.map(({ name, part }) => [name, part])).toEqual([
      ['Lead', 'lead'],
      ['Tenor', 'tenor'],
    ]);
    expect(report.leftOut).toContainEqual(
      expect.objectContaining({ what: 'the part "Guitar", which has no words', place: 'bar 1 of Guitar' }),
    );
    expect(song.chords).toHaveLength(6);
    expect(barLengths(song)).toEqual([2880, 2880, 1920, 2880, 2880, 2880, 2880]);
    expect(song.sections.map(({ name }) => name)).toEqual(['Verse 1']);
    const bars = itemAt(song.sections, 0).bars;
    expect(itemAt(bars, 4).key).toEqual({ tonic: 'F', mode: 'major' });
    // A dotted quarter at 60 is 90 quarters a minute.
    expect(itemAt(bars, 5).tempo).toBe(90);
  });

  it('sounds a transposing part where it sounds, with its key and chords', async () => {
    const { song } = await read(bytesOf('heel-in-b-flat.musicxml'));
    expect(song.key).toEqual({ tonic: 'D', mode: 'minor' });
    expect(song.chords.map(({ symbol }) => symbol)).toEqual(['Dm', 'Am7/C', 'Dm']);
    expect(pitches(song)).toEqual([64, 65, 67, 69, 69, 67, 64, 62]);
    expect(notesOf(song, 1)).toEqual([[62, 480 + 1440, 1440]]);
  });

  it('reads a timewise score like its partwise twin', async () => {
    const measures = writeMeasures([{ notes: [quarter(60), quarter(62)] }, { notes: [quarter(64)] }]);
    const partwise = writeScore([{ name: 'Voice', measures }]);
    const timewise = partwise
      .replace(/score-partwise/g, 'score-timewise')
      .replace(/<part id="P1">|<\/part>(?!-)/g, '')
      .replace(/(<measure [^>]*>)/g, '$1<part id="P1">')
      .replace(/<\/measure>/g, '</part></measure>');
    const result = await read(timewise);
    expect(result.song).toEqual((await read(partwise)).song);
    expect(result.report.guessed.join('; ')).toContain('timewise');
  });
});

describe('notes and words', () => {
  it('holds a syllable over notes without one, and joins elisions', async () => {
    const { song } = await read(
      one([
        quarter(60, { more: lyric('glo', 1, 'begin', '<extend/>') }),
        quarter(62, { more: '<lyric number="1"><extend type="stop"/></lyric>' }),
        quarter(64, { more: lyric('ry', 1, 'end') }),
        quarter(65, {
          more: '<lyric number="1"><text>the</text><elision>‿</elision><text>old</text><end-line/></lyric>',
        }),
      ]),
    );
    expect(words(song)).toEqual(['glo-', '', 'ry', 'the old']);
    expect(song.notes[3]?.syllables[0]?.endsLine).toBe(true);
  });

  it('tells stanzas apart by their marks', async () => {
    const { song } = await read(
      one([
        quarter(60, {
          more: `${lyric('one', 1)}${lyric('two', 2)}<lyric name="Refrain"><text>all</text></lyric>`,
        }),
      ]),
    );
    expect(song.notes[0]?.syllables.map((each) => each?.text)).toEqual(['one', 'two', 'all']);
  });

  it('reads a bar that repeats a number of times', async () => {
    const { song } = await read(
      writeScore([
        {
          name: 'Voice',
          measures: writeMeasures([
            {
              notes: [quarter(60)],
              left: REPEAT_START,
              right: REPEAT_END.replace('backward"', 'backward" times="3"'),
            },
            { notes: [quarter(62)] },
          ]),
        },
      ]),
    );
    expect(roadmap(song)).toEqual(['A 1 1', 'A 1 2', 'A 1 3', 'B 1 1']);
  });

  it('reads a tempo where no sound element says it, and leaves out one that cannot be played', async () => {
    const mark = (unit: string, number: number) =>
      `<direction><direction-type><metronome><beat-unit>${unit}</beat-unit><per-minute>${number}</per-minute></metronome></direction-type></direction>`;
    expect((await read(one([quarter(60)], '', mark('half', 50)))).song.tempo).toBe(100);
    const silly = await read(one([quarter(60)], '', mark('quarter', 0)));
    expect(silly.song.tempo).toBeNull();
    expect(silly.report.leftOut[0]?.what).toContain('a tempo of 0');
  });
});

describe('chord symbols', () => {
  const harmony = (kind: string, more = '', text = '') =>
    `<harmony><root><root-step>B</root-step><root-alter>-1</root-alter></root><kind${text}>${kind}</kind>${more}</harmony>`;
  const symbolOf = async (before: string) =>
    (await read(one([quarter(60, { before })]))).song.chords[0]?.symbol;

  // Source: MusicXML 4.0, kind-value: the degrees above the root that each kind names, here as semitones.
  const KINDS: Readonly<Record<string, readonly number[]>> = {
    major: [0, 4, 7],
    minor: [0, 3, 7],
    augmented: [0, 4, 8],
    diminished: [0, 3, 6],
    dominant: [0, 4, 7, 10],
    'major-seventh': [0, 4, 7, 11],
    'minor-seventh': [0, 3, 7, 10],
    'diminished-seventh': [0, 3, 6, 9],
    'augmented-seventh': [0, 4, 8, 10],
    'half-diminished': [0, 3, 6, 10],
    'major-minor': [0, 3, 7, 11],
    'major-sixth': [0, 4, 7, 9],
    'minor-sixth': [0, 3, 7, 9],
    'dominant-ninth': [0, 2, 4, 7, 10],
    'major-ninth': [0, 2, 4, 7, 11],
    'minor-ninth': [0, 2, 3, 7, 10],
    'suspended-second': [0, 2, 7],
    'suspended-fourth': [0, 5, 7],
    power: [0, 7],
  };

  it.each(Object.entries(KINDS))('%s becomes a symbol with its tones', async (kind, tones) => {
    const symbol = await symbolOf(harmony(kind));
    const above = parseChord(symbol ?? '')?.tones.map((tone) => tone.above);
    expect(
      above?.sort((a, b) => a - b),
      symbol,
    ).toEqual(tones);
  });

  // A major eleventh is kept as written, with a warning: no chord dictionary at hand has it.
  it('has a symbol that can be read for the other longer kinds', async () => {
    for (const kind of ['dominant-11th', 'minor-11th', 'dominant-13th', 'major-13th', 'minor-13th']) {
      const symbol = await symbolOf(harmony(kind));
      expect(parseChord(symbol ?? ''), symbol).not.toBeNull();
    }
  });

  it('reads bass, degrees, and a kind by its text', async () => {
    const degree = (value: number, alter: number, type: string) =>
      `<degree><degree-value>${value}</degree-value><degree-alter>${alter}</degree-alter><degree-type>${type}</degree-type></degree>`;
    expect(await symbolOf(harmony('major', '<bass><bass-step>D</bass-step></bass>'))).toBe('Bb/D');
    expect(await symbolOf(harmony('dominant', degree(9, -1, 'add')))).toBe('Bb7b9');
    expect(await symbolOf(harmony('major', degree(9, 0, 'add')))).toBe('Bbadd9');
    expect(await symbolOf(harmony('suspended-fourth', degree(7, 0, 'add')))).toBe('Bb7sus4');
    expect(await symbolOf(harmony('other', '', ' text="7#9"'))).toBe('Bb7#9');
    expect(await symbolOf(harmony('none'))).toBe('N.C.');
  });

  it('leaves out a chord that is given by its function', async () => {
    const { report } = await read(
      one([quarter(60, { before: '<harmony><function>V</function><kind>major</kind></harmony>' })]),
    );
    expect(report.leftOut[0]?.what).toContain('by its function');
  });
});
