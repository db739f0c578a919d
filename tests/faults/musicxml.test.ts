import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { constants, deflateRawSync } from 'node:zlib';
import fc from 'fast-check';
import { strToU8, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { makeIds, randomFrom } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';
import { checkSong, songSchema } from '../../lib/song';
import { lyric, type ScoreNote, writeMeasures, writeScore } from '../unit/exchange/score-writer';

const SCORE = new Uint8Array(readFileSync(join(import.meta.dirname, '../tunes/mill-race.musicxml')));
const options = () => ({ makeId: makeIds(randomFrom(3)), title: 'Untitled' });
const readAs = (name: string, content: string | Uint8Array) => readSongFile(name, content, options());

async function read(content: string) {
  const result = await readAs('a.musicxml', content);
  if (!result.ok) throw new Error(`${result.error.what} (${result.error.where})`);
  expect(checkSong(result.value.song)).toEqual([]);
  songSchema.parse(result.value.song);
  return result.value;
}

async function problem(content: string | Uint8Array, name = 'a.musicxml') {
  const result = await readAs(name, content);
  if (result.ok) throw new Error('it was read');
  for (const part of Object.values(result.error)) expect(part).not.toBe('');
  return result.error;
}

const one = (notes: readonly ScoreNote[]) =>
  writeScore([{ name: 'Voice', measures: writeMeasures([{ notes, meter: [4, 4] }]) }]);

/** A zip archive of one deflated file, with the sizes that its entries are to declare. */
function zipOf(name: string, deflated: Uint8Array, declared: bigint): Uint8Array {
  const long = declared > 0xffffffffn;
  const file = Buffer.from(name);
  const size = (value: bigint) => (long ? 0xffffffff : Number(value));
  const extra = Buffer.alloc(long ? 20 : 0);
  if (long) {
    extra.writeUInt16LE(1, 0);
    extra.writeUInt16LE(16, 2);
    extra.writeBigUInt64LE(declared, 4);
    extra.writeBigUInt64LE(BigInt(deflated.length), 12);
  }
  const shared = (at: number, buffer: Buffer) => {
    buffer.writeUInt16LE(45, at);
    buffer.writeUInt16LE(8, at + 4);
    buffer.writeUInt32LE(size(BigInt(deflated.length)), at + 14);
    buffer.writeUInt32LE(size(declared), at + 18);
    buffer.writeUInt16LE(file.length, at + 22);
    buffer.writeUInt16LE(extra.length, at + 24);
  };
  const local = Buffer.alloc(30);
  local.writeUInt32LE(0x04034b50, 0);
  shared(4, local);
  const central = Buffer.alloc(46);
  central.writeUInt32LE(0x02014b50, 0);
  central.writeUInt16LE(45, 4);
  shared(6, central);
  const end = Buffer.alloc(22);
  end.writeUInt32LE(0x06054b50, 0);
  end.writeUInt16LE(1, 8);
  end.writeUInt16LE(1, 10);
  end.writeUInt32LE(central.length + file.length + extra.length, 12);
  end.writeUInt32LE(local.length + file.length + extra.length + deflated.length, 16);
  return new Uint8Array(Buffer.concat([local, file, extra, deflated, central, file, extra, end]));
}

/** A deflate stream of 10 GB of blanks: one megabyte, packed so that it ends on a byte, over and over. */
function tenGigabytes(): Uint8Array {
  const megabyte = deflateRawSync(Buffer.alloc(1 << 20, ' '), {
    finishFlush: constants.Z_FULL_FLUSH,
    level: 9,
  });
  const last = deflateRawSync(Buffer.alloc(0));
  return new Uint8Array(Buffer.concat([...Array.from({ length: 10_240 }, () => megabyte), last]));
}

describe('compressed scores', () => {
  it('does not unpack 10 GB, whether its size is told or not', async () => {
    const bomb = tenGigabytes();
    expect(bomb.length).toBeLessThan(30_000_000);
    const before = process.memoryUsage().rss;
    const told = await problem(zipOf('score.xml', bomb, 10_240n << 20n), 'a.mxl');
    expect(told.what).toContain('not unpacked');
    const under = await problem(zipOf('score.xml', bomb, 39_000_000n), 'a.mxl');
    expect(under.what).toMatch(/not XML|no XML|broken|not unpacked|cut short/);
    const small = await problem(zipOf('score.xml', bomb, 5000n), 'a.mxl');
    expect(small.what).toMatch(/not XML|no XML|broken|cut short/);
    expect(process.memoryUsage().rss - before).toBeLessThan(400_000_000);
  });

  it('says that it is cut short, at whatever byte', async () => {
    const whole = zipSync({ 'a.xml': SCORE });
    for (const part of [0.02, 0.3, 0.7, 0.99]) {
      const cut = whole.slice(0, Math.floor(whole.length * part));
      expect((await problem(cut, 'a.mxl')).what).toMatch(/broken or cut short/);
    }
    expect((await problem(new Uint8Array(0), 'a.mxl')).what).toBe('there is nothing in it');
  });

  it('refuses an archive of too many files, or without a score', async () => {
    const many = Object.fromEntries(Array.from({ length: 600 }, (_, i) => [`${i}.txt`, strToU8('x')]));
    expect((await problem(zipSync(many), 'a.mxl')).what).toContain('more than 500 files');
    expect((await problem(zipSync({ 'a.txt': strToU8('x') }), 'a.mxl')).what).toContain('holds no score');
    expect((await problem('not a zip', 'a.mxl')).what).toContain('no compressed score');
  });

  it('answers any archive with bytes changed', async () => {
    const whole = zipSync({ 'a.xml': SCORE });
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat(whole.length - 1), fc.nat(255)), { minLength: 1, maxLength: 6 }),
        async (changes) => {
          const bytes = whole.slice();
          for (const [at, value] of changes) bytes[at] = value;
          const result = await readAs('a.mxl', bytes);
          if (result.ok) expect(checkSong(result.value.song)).toEqual([]);
        },
      ),
      { numRuns: 150 },
    );
  });
});

describe('XML that is no score', () => {
  it('says what is wrong, where, and what to do', async () => {
    expect((await problem('hello')).what).toBe('this is not XML');
    expect((await problem('<score-partwise><part>')).what).toBe('this XML is broken');
    expect((await problem('<score-partwise>\n<part id="P1">\n</measure></score-partwise>')).where).toContain(
      'line 3',
    );
    expect((await problem('<html></html>')).what).toContain('begins with "html"');
    expect((await problem('<opus/>')).what).toBe('this is a list of scores, not a score');
    expect((await problem('<score-partwise><part-list/></score-partwise>')).what).toBe(
      'this score has no measures',
    );
    expect((await problem(one([{ midi: null, twelfths: 48 }]))).what).toBe('nobody sings in this score');
  });

  it('expands no entities of its own, nested or from outside', async () => {
    const laughs = `<!DOCTYPE score-partwise [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]><score-partwise>&b;</score-partwise>`;
    expect((await problem(`<?xml version="1.0"?>${laughs}`)).what).toContain('entities of its own');
    const outside = `<!DOCTYPE score-partwise [<!ENTITY f SYSTEM "file:///etc/passwd">]><score-partwise>&f;</score-partwise>`;
    expect((await problem(`<?xml version="1.0"?>${outside}`)).what).toContain('entities of its own');
    expect((await problem('<score-partwise>&unknown;</score-partwise>')).what).toBe('this XML is broken');
  });

  it('refuses elements without end', async () => {
    expect((await problem('<a>'.repeat(100_000))).what).toContain('nested more than 60 deep');
  });
});

describe('scores that lack something', () => {
  it('reads notes without words, and warns', async () => {
    const { song, report } = await read(one([{ midi: 60, twelfths: 48 }]));
    expect(song.notes).toHaveLength(1);
    expect(report.warnings.join('; ')).toContain('no words');
  });

  it('lists notes without length and without pitch, with their bar', async () => {
    const { song, report } = await read(
      one([
        { midi: 60, twelfths: 0, more: lyric('lost') },
        { midi: 62, twelfths: 24 },
        { midi: 64, twelfths: 24 },
      ]).replace('<pitch><step>E</step><octave>4</octave></pitch>', '<unpitched/>'),
    );
    expect(song.notes).toHaveLength(1);
    expect(report.leftOut.map(({ what, place }) => [what, place])).toEqual([
      ['a note without a length', 'bar 1'],
      ['a note without pitch', 'bar 1'],
    ]);
  });

  it('ends a note where the next of its voice begins, and says that they overlap', async () => {
    const overlapping = one([
      { midi: 60, twelfths: 36 },
      { midi: 64, twelfths: 12, before: '<backup><duration>24</duration></backup>' },
    ]);
    const { song, report } = await read(overlapping);
    expect(song.notes.map((note) => [note.offset, note.ticks])).toEqual([
      [0, 960],
      [960, 960],
    ]);
    expect(report.warnings.join('; ')).toContain('notes of one voice overlap (bar 1)');
  });

  it('reads a score with an empty voice beside the one that is sung', async () => {
    const sung = writeMeasures([{ notes: [{ midi: 60, twelfths: 48, more: lyric('la') }], meter: [4, 4] }]);
    const empty = writeMeasures([{ notes: [{ midi: null, twelfths: 48 }], meter: [4, 4] }]);
    const { song } = await read(
      writeScore([
        { name: 'Lead', measures: sung },
        { name: 'Tenor', measures: empty },
      ]),
    );
    expect(song.voices.map((voice) => voice.name)).toEqual(['Lead']);
  });

  it('reads several tempos, each from its bar on', async () => {
    const at = (tempo: number) => `<sound tempo="${tempo}"/>`;
    const measures = [80, 100, 120].map((tempo) => ({
      notes: [{ midi: 60, twelfths: 48 }],
      head: at(tempo),
    }));
    const { song } = await read(writeScore([{ name: 'Voice', measures: writeMeasures(measures) }]));
    expect([song.tempo, ...(song.sections[0]?.bars.slice(1).map((bar) => bar.tempo) ?? [])]).toEqual([
      80, 100, 120,
    ]);
  });

  it('keeps words in any script', async () => {
    const { song } = await read(
      one(['歌', 'שיר', 'песня', '🎶'].map((text) => ({ midi: 60, twelfths: 12, more: lyric(text) }))),
    );
    expect(song.notes.map((note) => note.syllables[0]?.text)).toEqual(['歌', 'שיר', 'песня', '🎶']);
  });

  it('answers a score with any piece of it taken out', async () => {
    const text = new TextDecoder().decode(SCORE);
    const elements = [...text.matchAll(/<(\w[\w-]*)[^<>]*>[^<>]*<\/\1>\n?|<\w[\w-]*[^<>]*\/>\n?/g)].map(
      (match) => [match.index, match[0].length] as const,
    );
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.nat(elements.length - 1), { minLength: 1, maxLength: 12 }),
        async (out) => {
          let left = text;
          for (const index of [...new Set(out)].sort((a, b) => b - a)) {
            const [at, length] = elements[index] ?? [0, 0];
            left = left.slice(0, at) + left.slice(at + length);
          }
          const result = await readAs('a.musicxml', left);
          if (!result.ok) return;
          expect(checkSong(result.value.song)).toEqual([]);
          songSchema.parse(result.value.song);
        },
      ),
      { numRuns: 80 },
    );
  });
});
