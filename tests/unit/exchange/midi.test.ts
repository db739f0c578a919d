import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { itemAt, makeIds, randomFrom } from '../../../lib/base';
import { listMidiVoices, readSongFile, type SongRead } from '../../../lib/exchange';
import { checkSong, songSchema } from '../../../lib/song';
import { barLengths, lengths, notesOf, pitches, words } from './helpers';
import { key, meter, midi, note, tempo, text, track } from './midi-writer';

const tune = (name: string) => new Uint8Array(readFileSync(join(import.meta.dirname, '../../tunes', name)));

async function read(content: Uint8Array, melody?: number): Promise<SongRead> {
  const result = await readSongFile('a song.mid', content, { makeId: makeIds(randomFrom(7)), melody });
  if (!result.ok) throw new Error(`${result.error.what} (${result.error.where})`);
  expect(checkSong(result.value.song)).toEqual([]);
  songSchema.parse(result.value.song);
  return result.value;
}

/** Quarter notes one after another. */
const quarters = (from: number, all: readonly number[], channel = 1) =>
  all.flatMap((pitch, i) => note(from + i * 480, 480, pitch, channel));

describe('a file with words', () => {
  // Common practice, no source: counted by hand from the tune as it was written down.
  it('takes the track on whose notes the words fall, with meter, pickup, tempos, key and title', async () => {
    const { song, report } = await read(tune('ladder-song.mid'));
    expect(song).toMatchObject({ title: 'Ladder Song', key: { tonic: 'D', mode: 'major' }, tempo: 90 });
    const bars = itemAt(song.sections, 0).bars;
    expect(bars.map((bar) => bar.ticks)).toEqual([960, ...Array(8).fill(2880)]);
    expect(itemAt(bars, 0)).toMatchObject({ pickup: true, meter: { count: 3, unit: 4 } });
    expect(bars.flatMap((bar, i) => (bar.tempo ? [[i, bar.tempo]] : []))).toEqual([[5, 100]]);
    expect(pitches(song).slice(0, 8)).toEqual([62, 66, 66, 67, 69, 71, 69, 66]);
    expect(lengths(song).slice(11, 15)).toEqual([320, 320, 320, 960]);
    expect(words(song).slice(0, 5)).toEqual(['Put', 'the', 'lad-', 'der', 'on']);
    expect(
      song.notes.flatMap((each) => (each.syllables[0]?.endsLine ? [each.syllables[0].text] : [])),
    ).toEqual(['slow,', 'go.']);
    expect(report.guessed.join('; ')).toContain('track 3, "Voice": the words fall on its notes');
    expect(report.leftOut.map(({ what }) => what)).toEqual([
      'track 2, "Guitar", which is not the melody (24 notes)',
      'drums (channel 10)',
    ]);
  });

  it('reads karaoke texts, in a file of one track', async () => {
    const { song, report } = await read(tune('hay-loft.mid'));
    expect(song.title).toBe('Hay Loft');
    expect(words(song)).toEqual(['Up', 'in', 'the', 'hay-', 'loft', 'on', 'a', 'rain-', 'y', 'day']);
    expect(song.tempo).toBe(120);
    expect(report.guessed.join('; ')).toMatch(/no tempo is given.*no meter is given/);
  });

  it('reads hyphens, and words without blanks', async () => {
    const sung = (all: readonly string[]) =>
      midi([track([...quarters(0, [60, 62, 64, 65]), ...all.map((each, i) => text(i * 480, each))])]);
    expect(words((await read(sung(['hol-', 'low', 'road', 'home']))).song)).toEqual([
      'hol-',
      'low',
      'road',
      'home',
    ]);
    expect(words((await read(sung(['on', 'we', 'go', 'now']))).song)).toEqual(['on', 'we', 'go', 'now']);
  });
});

describe('which voice is the melody', () => {
  const file = midi([
    track([...quarters(0, [40, 43, 40, 43]), text(0, 'Bass', 3)]),
    track([...quarters(0, [60, 62, 64, 65]), text(0, 'Melody', 3)]),
    track([...quarters(0, [72, 71, 69, 67]), text(0, 'Flute', 3)]),
  ]);

  it('goes by the name without words', async () => {
    const { song, report } = await read(file);
    expect(pitches(song)).toEqual([60, 62, 64, 65]);
    expect(report.guessed.join('; ')).toContain('"Melody": its name says so');
  });

  it('goes by what can be sung without names', async () => {
    const chords = [0, 480, 960, 1440].flatMap((tick) =>
      [48, 52, 55].flatMap((pitch) => note(tick, 480, pitch)),
    );
    const { song } = await read(midi([track(chords), track(quarters(0, [60, 62, 64, 65]))]));
    expect(pitches(song)).toEqual([60, 62, 64, 65]);
  });

  it('can be chosen, from those that are listed', async () => {
    const listed = listMidiVoices(file);
    expect(listed.ok && listed.value.map(({ called, chosen }) => [called, chosen])).toEqual([
      ['track 1, "Bass"', false],
      ['track 2, "Melody"', true],
      ['track 3, "Flute"', false],
    ]);
    expect(pitches((await read(file, 3)).song)).toEqual([72, 71, 69, 67]);
  });
});

describe('notes on beats', () => {
  it('finds what was meant in what was played: 25 seeds, 20 ms off as the usual singer is, 120 quarters a minute', async () => {
    // Common practice, no source: a spread of some 20 ms, which at this tempo is a twenty-fifth of a beat.
    let right = 0;
    let all = 0;
    for (let seed = 1; seed <= 25; seed++) {
      const random = randomFrom(seed);
      const off = () => ((random() + random() + random() - 1.5) / 0.5) * 0.04 * 480;
      const meant: [number, number][] = [];
      for (let at = 0; meant.length < 40; ) {
        const length = itemAt([240, 240, 480, 480, 480, 720, 960], Math.floor(random() * 7));
        meant.push([at, length]);
        at += length + (random() < 0.15 ? 480 : 0);
      }
      const played = meant.flatMap(([at, length]) =>
        note(
          Math.max(0, Math.round(at + off())),
          Math.max(40, Math.round(length * 0.85 + off())),
          60 + Math.floor(random() * 12),
        ),
      );
      const { song, report } = await read(midi([track(played)]));
      const found = new Set(notesOf(song).map(([, start]) => start));
      all += meant.length;
      right += meant.filter(([at]) => found.has(at * 2)).length;
      expect(report.guessed.join('; ')).toContain('notes were moved');
    }
    console.log(`played notes on their beat: ${right} of ${all}`);
    expect(right / all).toBeGreaterThan(0.98);
  });

  it('leaves a file that lies on beats as it is, thirty-seconds and triplets too', async () => {
    const exact = [
      ...note(0, 60, 60),
      ...note(60, 60, 62),
      ...note(120, 360, 64),
      ...note(480, 160, 65),
      ...note(640, 160, 67),
      ...note(800, 160, 65),
    ];
    const { song, report } = await read(midi([track(exact)]));
    expect(notesOf(song).map(([, start, length]) => [start, length])).toEqual([
      [0, 120],
      [120, 120],
      [240, 720],
      [960, 320],
      [1280, 320],
      [1600, 320],
    ]);
    expect(report.guessed.join('; ')).not.toContain('were moved');
  });

  it('takes the highest of notes struck together', async () => {
    const { song, report } = await read(
      midi([track([...note(0, 480, 60), ...note(3, 480, 67), ...note(480, 480, 62)])]),
    );
    expect(pitches(song)).toEqual([67, 62]);
    expect(report.leftOut.map(({ what }) => what)).toContain('1 lower note of chords');
  });
});

describe('meters, tempos, keys and sections', () => {
  it('cuts bars by the meters, and keeps keys and tempos where they begin', async () => {
    const { song } = await read(
      midi([
        track([meter(0, 3, 4), tempo(0, 80), key(0, -1), meter(1440, 4, 4), key(1440, 2), tempo(1440, 160)]),
        track(quarters(0, [65, 67, 69, 62, 66, 69, 74])),
      ]),
    );
    expect(barLengths(song)).toEqual([2880, 3840]);
    expect(song.key).toEqual({ tonic: 'F', mode: 'major' });
    expect(itemAt(itemAt(song.sections, 0).bars, 1)).toMatchObject({
      key: { tonic: 'D', mode: 'major' },
      tempo: 160,
    });
  });

  it('gives a bar the mean of its tempos, so that its length in seconds stays', async () => {
    const { song } = await read(
      midi([track([tempo(0, 60), tempo(960, 120)]), track(quarters(0, [60, 62, 64, 65]))]),
    );
    // Two beats of a second and two of half a second: 4 beats in 3 seconds.
    expect(song.tempo).toBe(80);
  });

  it('makes sections at markers', async () => {
    const { song } = await read(
      midi([
        track([text(0, 'Verse', 6), text(1920, 'Chorus', 6)]),
        track(quarters(0, [60, 62, 64, 65, 67, 65, 64, 62])),
      ]),
    );
    expect(song.sections.map(({ name }) => name)).toEqual(['Verse', 'Chorus']);
  });

  it('guesses a key that is not given', async () => {
    expect((await read(midi([track(quarters(0, [62, 66, 69, 67, 66, 64, 61, 62]))]))).song.key).toEqual({
      tonic: 'D',
      mode: 'major',
    });
  });
});
