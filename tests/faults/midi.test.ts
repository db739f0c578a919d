import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { makeIds, randomFrom } from '../../lib/base';
import { listMidiVoices, readPastedSong, readSongFile } from '../../lib/exchange';
import { checkSong, songSchema } from '../../lib/song';
import { midi, note, tempo, text, track } from '../unit/exchange/midi-writer';

const LADDER = new Uint8Array(readFileSync(join(import.meta.dirname, '../tunes/ladder-song.mid')));
const options = () => ({ makeId: makeIds(randomFrom(3)), title: 'Untitled' });

async function read(content: Uint8Array) {
  const result = await readSongFile('a.mid', content, options());
  if (!result.ok) throw new Error(`${result.error.what} (${result.error.where})`);
  expect(checkSong(result.value.song)).toEqual([]);
  songSchema.parse(result.value.song);
  return result.value;
}

async function problem(content: Uint8Array | string, melody?: number) {
  const result = await readSongFile('a.mid', content, { ...options(), melody });
  if (result.ok) throw new Error('it was read');
  for (const part of Object.values(result.error)) expect(part).not.toBe('');
  return result.error;
}

describe('files that are no MIDI, or none that can be read', () => {
  it('says what is wrong, where, and what to do', async () => {
    expect((await problem(new Uint8Array([1, 2, 3]))).what).toContain('no MIDI file');
    expect((await problem(new Uint8Array(0))).what).toBe('there is nothing in it');
    expect((await problem(LADDER.slice(0, 10))).what).toContain('its start is missing');
    expect((await problem(midi([], 480))).what).toBe('this MIDI file holds no notes');
    expect((await problem(midi([track(note(0, 480, 38, 10))]))).what).toBe(
      'this MIDI file holds drums alone',
    );
    expect((await problem(midi([track(note(0, 480, 60))], 480, 2))).what).toContain('format 2');
    expect((await problem(midi([track(note(0, 480, 60))], 0xe728))).what).toContain('film frames');
    expect((await problem(midi([track(note(0, 480, 60))], 0))).what).toContain('film frames');
    expect((await problem(LADDER, 9)).what).toBe('there is no voice 9');
    expect((await problem('MThd')).what).toContain('not text');
    expect(listMidiVoices(new Uint8Array([1])).ok).toBe(false);
    const pasted = await readPastedSong('MThd\u0000\u0000', options());
    expect(pasted.ok).toBe(false);
  });

  it('refuses a file that is too large, and one with a melody of a day', async () => {
    const large = new Uint8Array(9_000_000);
    large.set(LADDER);
    expect((await problem(large)).what).toContain('at most 8000000');
    const late = midi([track([...note(0, 480, 60), ...note(480 * 100_000, 480, 62)])]);
    expect((await problem(late)).what).toContain('more than 3000 bars');
  });
});

describe('files with something wrong in them', () => {
  it('reads one without tempo, meter, key and words, and says what was taken', async () => {
    const { song, report } = await read(midi([track(note(0, 480, 60))]));
    expect(song.tempo).toBe(120);
    expect(report.guessed.join('; ')).toMatch(/no key.*no tempo.*no meter.*no title/s);
    expect(report.warnings.join('; ')).toContain('there are no words');
  });

  it('reads what there is of one that is cut short, and says so', async () => {
    const { song, report } = await read(LADDER.slice(0, LADDER.length - 200));
    expect(song.notes.length).toBeGreaterThan(10);
    expect(report.warnings.join('; ')).toMatch(/cut short|missing/);
  });

  it('reads wild channels, data out of place, and notes that never end', async () => {
    const wild = Array.from({ length: 16 }, (_, i) => note(i * 240, 240, 60 + i, i + 1)).flat();
    const { report } = await read(midi([track([...wild, { tick: 4000, bytes: [0x90, 64, 80] }])]));
    expect(report.leftOut.length).toBeGreaterThan(13);
    expect(report.warnings.join('; ')).toContain('1 note of track 1 never end');
    const odd = midi([
      track([
        { tick: 0, bytes: [0x45, 0x45] },
        ...note(10, 480, 60),
        { tick: 500, bytes: [0x90, 0xf5, 0x90] },
        ...note(960, 480, 62),
      ]),
    ]);
    const result = await readSongFile('a.mid', odd, options());
    if (result.ok) expect(result.value.report.warnings.join('; ')).toMatch(/data|broken/);
  });

  it('reads notes without length, one over another, and a tempo of nothing', async () => {
    const { song } = await read(
      midi([
        track([
          ...note(0, 0, 60),
          ...note(480, 2000, 62),
          ...note(960, 480, 64),
          { tick: 0, bytes: [255, 0x51, 3, 0, 0, 0] },
          tempo(960, 100_000),
        ]),
      ]),
    );
    expect(song.notes.map((each) => [each.offset, each.ticks])).toEqual([
      [0, 960],
      [960, 960],
      [1920, 960],
    ]);
  });

  it('says how many syllables fall on no note', async () => {
    const events = [
      ...note(0, 480, 60),
      ...note(480, 480, 62),
      text(0, 'on '),
      text(480, 'we '),
      text(5000, 'go '),
      text(6000, 'now '),
    ];
    const { report } = await read(midi([track(events)]));
    expect(report.warnings.join('; ')).toContain('2 syllables fall on no note');
  });

  it('keeps words in any script, and Western ones of old files', async () => {
    const old = { tick: 480, bytes: [255, 5, 4, 0x66, 0xfc, 0x72, 0x20] };
    const { song } = await read(
      midi([track([...note(0, 480, 60), ...note(480, 480, 62), text(0, '歌 '), old])]),
    );
    expect(song.notes.map((each) => each.syllables[0]?.text)).toEqual(['歌', 'für']);
  });

  it('answers any file with bytes changed or taken away', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.nat(LADDER.length - 1), fc.nat(255)), { minLength: 1, maxLength: 8 }),
        fc.nat(LADDER.length),
        fc.boolean(),
        async (changes, length, cut) => {
          const bytes = LADDER.slice(0, cut ? length : LADDER.length);
          for (const [at, value] of changes) if (at < bytes.length) bytes[at] = value;
          const result = await readSongFile('a.mid', bytes, options());
          if (!result.ok) return;
          expect(checkSong(result.value.song)).toEqual([]);
          songSchema.parse(result.value.song);
        },
      ),
      { numRuns: 400 },
    );
  });
});
