import { describe, expect, test } from 'vitest';
import { itemAt, lastOf } from '../../../lib/base';
import type { Offer } from '../../../lib/fills';
import type { InstrumentName } from '../../../lib/instruments';
import { fillSchema } from '../../../lib/song';
import { fretFromNut } from '../../outside/checker/facts';
import { FIVE_BEATS, FOUR_BEATS, generatedSong, offersIn, type Shorthand, SIX_BEATS } from './songs';

// Source of each rule: Common practice, no source.

const seeds = Array.from({ length: 25 }, (_, i) => i + 1);
const everywhere = (instrument: InstrumentName) =>
  [SIX_BEATS, ...seeds.map(generatedSong)].flatMap((short) => offersIn(short, instrument));

describe('a low line goes the way its name says', () => {
  test.each(['bass', 'guitar'] as const)('on the %s', (instrument) => {
    const lines = everywhere(instrument).filter(({ family }) => family === 'walk' || family === 'bass run');
    expect(lines.length).toBeGreaterThan(20);
    for (const { title, notes } of lines) {
      const moves = notes.slice(1).map((note, i) => Math.sign(note.midi - itemAt(notes, i).midi));
      const rises = moves.includes(1);
      const falls = moves.includes(-1);
      const named = / (up and down|down and up|up|down)( in quarters)? to /.exec(title)?.[1];
      if (rises && falls)
        expect(named, title).toBe(moves.find((move) => move !== 0) === 1 ? 'up and down' : 'down and up');
      else expect(named, title).toBe(rises ? 'up' : 'down');
      const turns = moves
        .filter((move) => move !== 0)
        .filter((move, i, all) => i > 0 && move !== all[i - 1]).length;
      expect(turns, title).toBeLessThanOrEqual(1);
    }
  });
});

describe('a shuffle on the fiddle', () => {
  const shuffles = (short: Shorthand) =>
    offersIn(short, 'fiddle').filter(({ family }) => family === 'shuffle');

  test('is one long and two short, the bow turning on each: down up down, up down up', () => {
    const found = shuffles(SIX_BEATS);
    expect(found.length).toBeGreaterThan(0);
    for (const { notes } of found) {
      const onsets = notes.filter((note, i) => note.tick !== notes[i - 1]?.tick);
      const lengths = onsets.slice(1).map((note, i) => note.tick - itemAt(onsets, i).tick);
      lengths.forEach((ticks, i) => {
        expect(ticks).toBe(i % 3 === 0 ? 960 : 480);
      });
      onsets.slice(1).forEach((note, i) => {
        expect(note.stroke).not.toBe(itemAt(onsets, i).stroke);
      });
    }
  });

  test('is not made for a jig, nor where eighths are too fast', () => {
    expect(shuffles({ ...SIX_BEATS, tempo: 300 })).toEqual([]);
    for (const short of seeds.map(generatedSong).filter(({ meter }) => meter === '6/8'))
      expect(shuffles(short)).toEqual([]);
  });
});

test('a bar does not go to and fro between fret six and up and the open strings', () => {
  const lines = everywhere('resonator guitar').filter(({ family }) =>
    ['run up', 'run down', 'answer', 'tag lick'].includes(family),
  );
  expect(lines.length).toBeGreaterThan(20);
  for (const { title, notes } of lines) {
    const lifts = notes.slice(1).filter((note, i) => {
      const frets = [note.fret, itemAt(notes, i).fret];
      return Math.min(...frets) === 0 && Math.max(...frets) > 5;
    });
    expect(lifts.length, title).toBeLessThanOrEqual(1);
  }
});

test('a bar slides into each chord from two frets below, and glides from one to the next', () => {
  const slides = everywhere('resonator guitar').filter(({ family }) => family === 'slide into the chord');
  expect(slides.length).toBeGreaterThan(10);
  for (const { title, notes } of slides) {
    const slid = notes.filter(({ articulation }) => articulation === 'slide');
    expect(slid.length, title).toBeGreaterThan(0);
    for (const note of slid) {
      const from = notes.findLast((each) => each.string === note.string && each.tick < note.tick);
      expect(note.fret - (from?.fret ?? 0), title).toBe(2);
    }
    const frets = notes.filter(({ fret }) => fret > 0).map(({ fret }) => fret);
    frets.slice(1).forEach((fret, i) => {
      expect(Math.abs(fret - itemAt(frets, i)), title).toBeLessThanOrEqual(5);
    });
  }
});

test('where chords come fast a bar leaves a chord early enough for the next', () => {
  // A chord to each half bar, of 0.57 seconds: from D at the seventh fret down to just below B at the fourth.
  const fast: Shorthand = {
    ...SIX_BEATS,
    key: 'A',
    meter: '2/2',
    tempo: 209,
    chords: ['E', 'B7', 'D F#m', 'B7 D', 'D'],
    sung: [
      [0, 1, 1, 64],
      [4, 1, 1, 66],
    ],
  };
  const slides = offersIn(fast, 'resonator guitar').filter(({ family }) => family === 'slide into the chord');
  expect(slides.length).toBeGreaterThan(0);
  for (const { notes } of slides) {
    const stopped = notes.filter(({ fret }) => fret > 0);
    for (const { tick, fret, articulation } of stopped) {
      const before = stopped.findLast((each) => each.tick < tick);
      if (articulation === 'slide' || before === undefined) continue;
      // Five frets take longer than an eighth of 0.14 seconds.
      if (Math.abs(fret - before.fret) >= 5) expect(tick - before.tick).toBeGreaterThan(480);
    }
  }
});

test('in open G the slide into G goes up to the pitch of the open string beside it', () => {
  const offers = offersIn({ ...SIX_BEATS, chords: Array<string>(5).fill('G') }, 'resonator guitar', 20);
  const slide = offers.find(({ family }) => family === 'slide into the chord');
  const [below, on, beside] = slide?.notes ?? [];
  expect([below?.articulation, on?.articulation]).toEqual(['struck', 'slide']);
  expect(beside).toMatchObject({ fret: 0, string: (on?.string ?? 0) - 1, midi: on?.midi });
});

test('a bass goes through a chord that stays by step or by its thirds and its sixth', () => {
  const still = [FOUR_BEATS, FIVE_BEATS, SIX_BEATS, ...seeds.map(generatedSong)].map((short) => ({
    ...short,
    key: 'G',
    chords: short.chords.map(() => 'G'),
  }));
  const walks = still
    .flatMap((short) => offersIn(short, 'bass', 20))
    .filter(({ family }) => family === 'walk');
  const above = ({ notes }: Offer) => notes.map(({ midi }) => (midi - 31 + 12) % 12);
  expect(walks.some((walk) => above(walk).join(' ').includes('0 4 7 9'))).toBe(true);
  for (const walk of walks) {
    const { notes, title } = walk;
    // Each leap is a third from tone to tone, or to the root that it rests on.
    notes.slice(1, -1).forEach((note, i) => {
      expect(Math.abs(note.midi - itemAt(notes, i).midi), title).toBeLessThanOrEqual(5);
    });
    expect(
      above(walk).every((each) => [0, 2, 4, 5, 7, 9, 10, 11].includes(each)),
      title,
    ).toBe(true);
  }
});

test('a banjo line neither begins nor rests on the short string', () => {
  const lines = everywhere('banjo').filter(({ family }) =>
    ['run up', 'run down', 'tag lick'].includes(family),
  );
  expect(lines.length).toBeGreaterThan(20);
  for (const { title, notes } of lines)
    expect([itemAt(notes, 0).string, lastOf(notes).string], title).not.toContain(5);
});

test('a tag lick at home in mid-song rounds off its line; on another chord it sounds like an ending', () => {
  const on = (chord: string) =>
    offersIn({ ...SIX_BEATS, chords: ['G', chord, chord, 'D', 'G'] }, 'guitar', 14);
  const rules = (offers: readonly Offer[]) =>
    offers
      .filter(({ family }) => family === 'tag lick')
      .flatMap(({ reasons }) => reasons.map(({ rule }) => rule));
  expect(rules(on('G'))).toContain('closes a line');
  expect(rules(on('G'))).not.toContain('closes nothing');
  expect(rules(on('C'))).not.toContain('closes a line');
});

test('where a line comes home from the dominant a tag lick is among the first two; home from elsewhere it is not', () => {
  const placeOf = (before: string) => {
    const chords = ['G', before, 'G', 'D', 'G'];
    return offersIn({ ...FOUR_BEATS, chords }, 'guitar', 14).find(({ family }) => family === 'tag lick')
      ?.rank;
  };
  expect(placeOf('D7')).toBeLessThanOrEqual(2);
  expect(placeOf('C')).toBeGreaterThan(2);
});

test('a fill holds the notes of a long break', () => {
  const note = {
    tick: 0,
    ticks: 480,
    midi: 67,
    string: 3,
    fret: 0,
    finger: 0,
    articulation: 'struck',
    stroke: 'down',
    strokeRule: null,
    exception: false,
  };
  const isHeld = (count: number) => {
    const notes = Array.from({ length: count }, (_, i) => ({ ...note, tick: i * 480 }));
    return fillSchema.safeParse({ family: 'own figure', notes, chords: [] }).success;
  };
  expect(isHeld(50 * 8 * 2)).toBe(true);
  expect(isHeld(2001)).toBe(false);
});

test.each(['guitar', 'banjo'] as const)(
  'the %s chokes a flat third toward the third, off the beat, on a thin string',
  (instrument) => {
    const overOneChord = ['G', 'A', 'C', 'D', 'E'].map((key) => ({
      ...SIX_BEATS,
      key,
      chords: Array<string>(5).fill(key),
    }));
    const chokes = overOneChord
      .flatMap((short) => offersIn(short, instrument, 20))
      .flatMap(({ title, notes, reasons }) =>
        notes.flatMap((note, i) =>
          note.articulation === 'choke' ? [{ title, note, after: notes[i + 1], reasons }] : [],
        ),
      );
    expect(chokes.length).toBeGreaterThan(0);
    for (const { title, note, after, reasons } of chokes) {
      expect(note.fret, title).toBeGreaterThan(1);
      expect(note.string, title).toBeLessThan(4);
      expect(note.stroke, title).not.toBeNull();
      // It falls to the root or to the second, struck anew.
      expect([1, 3], title).toContain(note.midi - (after?.midi ?? 0));
      expect(after?.stroke, title).not.toBeNull();
      expect(
        reasons.some(({ detail }) => detail.includes('a choke')),
        title,
      ).toBe(true);
    }
  },
);

test.each(['resonator guitar', 'mandolin', 'fiddle', 'bass'] as const)(
  'the %s chokes nothing',
  (instrument) => {
    for (const { notes } of everywhere(instrument))
      expect(notes.map((note) => note.articulation)).not.toContain('choke');
  },
);

describe('a bar', () => {
  /** In millimetres a second, beside a turn of 25 mm. Common practice, no source: five frets in the middle of the neck take a slow eighth. */
  const FASTEST = 380;
  const LONGEST_SCALE = 635;

  test('comes from one struck note to the next in its time', () => {
    let moves = 0;
    for (const short of [SIX_BEATS, ...seeds.map(generatedSong)]) {
      const ticksPerSecond = ((short.tempo ?? 100) / 60) * 960;
      for (const { title, notes } of offersIn(short, 'resonator guitar')) {
        const stopped = notes.filter((note) => note.fret > 0);
        stopped.slice(1).forEach((note, i) => {
          const from = itemAt(stopped, i);
          if (note.tick === from.tick || note.articulation === 'slide') return;
          const far = Math.abs(fretFromNut(LONGEST_SCALE, note.fret) - fretFromNut(LONGEST_SCALE, from.fret));
          if (far > 0) moves += 1;
          const seconds = (note.tick - from.tick) / ticksPerSecond;
          expect(far, `${title}, fret ${from.fret} to ${note.fret}`).toBeLessThanOrEqual(
            25.1 + FASTEST * seconds,
          );
        });
      }
    }
    expect(moves).toBeGreaterThan(100);
  });
});

// Common practice, no source: thumb, index, middle over strings 3 2 1, the thumb on the fifth.
test('a banjo begins its forward rolls thumb, index, middle, whatever comes after', () => {
  let begun = 0;
  for (const { family, title, notes } of everywhere('banjo')) {
    if (family !== 'forward roll') continue;
    const struck = notes.filter((note) => note.stroke !== null).slice(0, 3);
    const strings = struck.map((note) => note.string).join(' ');
    if (strings !== '3 2 1') continue;
    begun += 1;
    expect(
      struck.map((note) => note.stroke),
      title,
    ).toEqual(['thumb', 'index', 'middle']);
  }
  expect(begun).toBeGreaterThan(10);
});

// Common practice, no source: a fiddler's double-stops lie in first position, with an open string where one will do.
test('double-stops on the fiddle stay where the ring finger reaches, many beside an open string', () => {
  let all = 0;
  let reaching = 0;
  let beside = 0;
  for (const { family, notes } of everywhere('fiddle')) {
    if (!/double-stops|long bow/.test(family)) continue;
    const ticks = [...new Set(notes.map((note) => note.tick))];
    for (const tick of ticks) {
      const pair = notes.filter((note) => note.tick === tick);
      if (pair.length < 2) continue;
      all += 1;
      if (pair.some((note) => note.fret > 5)) reaching += 1;
      if (pair.some((note) => note.fret === 0)) beside += 1;
    }
  }
  expect(all).toBeGreaterThan(100);
  expect(reaching / all).toBeLessThan(0.05);
  expect(beside / all).toBeGreaterThan(0.45);
});
