import { describe, expect, test } from 'vitest';
import { itemAt } from '../../../lib/base';
import type { Offer } from '../../../lib/fills';
import type { InstrumentName } from '../../../lib/instruments';
import { generatedSong, offersIn, type Shorthand, SIX_BEATS } from './songs';

/* Source of each rule here: Common practice, no source. */
const ONE_CHORD: Shorthand = { ...SIX_BEATS, chords: ['G', 'G', 'G', 'G', 'G'] };

const offersOf = (name: InstrumentName, family: string, song: Shorthand): readonly Offer[] =>
  offersIn(song, name, 40).filter((offer) => offer.family === family);

/** The notes of an offer, those that begin together as one. */
const onsetsOf = ({ notes }: Offer) =>
  [...new Set(notes.map((note) => note.tick))].map((tick) => notes.filter((note) => note.tick === tick));

describe('the banjo', () => {
  test('pinch and vamp: a bass note of the thumb and a pinch by turns, closed by a pinch', () => {
    const offer = itemAt(offersOf('banjo', 'pinch and vamp', ONE_CHORD), 0);
    const onsets = onsetsOf(offer);
    expect(onsets.map((notes) => notes.length).slice(-4)).toEqual([1, 2, 1, 2]);
    for (const [first, second] of onsets) {
      expect(first?.stroke).toBe('thumb');
      if (second) expect([second.string, second.stroke]).toEqual([1, 'middle']);
      else expect([3, 4]).toContain(first?.string);
    }
  });

  test('drone-led: the short string rings on each "and", the tune on the beats', () => {
    const offers = offersOf('banjo', 'drone-led', ONE_CHORD);
    expect(offers.length).toBeGreaterThan(0);
    for (const { notes } of offers)
      for (const note of notes)
        expect(note.string === 5 && note.stroke === 'thumb').toBe(note.tick % 960 !== 0);
  });

  test('a roll is played plainly where a barre leaves no finger for a grace', () => {
    for (const chord of ['A', 'Bb', 'C', 'D', 'F']) {
      const song = { ...ONE_CHORD, key: chord, chords: ONE_CHORD.chords.map(() => chord) };
      expect(offersOf('banjo', 'forward roll', song).length, chord).toBeGreaterThan(0);
    }
  });
});

describe('the resonator guitar', () => {
  test('double-stops lie under a straight bar, or have an open string; seldom does the bar slant, and then it is said', () => {
    let pairs = 0;
    let slants = 0;
    for (let seed = 1; seed <= 20; seed++) {
      for (const offer of offersOf('resonator guitar', 'double-stops', generatedSong(seed))) {
        const before = slants;
        for (const [a, b] of onsetsOf(offer)) {
          if (!a || !b) throw new Error('no pair');
          pairs += 1;
          expect(Math.abs(a.string - b.string)).toBe(1);
          if (a.fret === b.fret || a.fret === 0 || b.fret === 0) continue;
          slants += 1;
          expect(Math.abs(a.fret - b.fret)).toBeLessThanOrEqual(2);
        }
        expect(offer.reasons.some(({ rule }) => rule === 'the bar slants')).toBe(slants > before);
      }
    }
    expect(pairs).toBeGreaterThan(40);
    expect(slants).toBeGreaterThan(0);
    expect(slants / pairs).toBeLessThan(0.15);
  });
});

describe('the bass', () => {
  test('a turnaround goes down from the root by the sixth and the fifth', () => {
    const four = offersOf('bass', 'turnaround', ONE_CHORD).filter((offer) => offer.notes.length === 4);
    const [first = 0, ...rest] = itemAt(four, 0).notes.map((note) => note.midi);
    expect(rest.map((midi) => midi - first)).toEqual([-3, -5, -8]);
    expect(first % 12).toBe(7);
  });

  test('root and fifth stay in first position', () => {
    for (const chord of ['E', 'G', 'Bb', 'C', 'D'])
      for (const { notes } of offersOf('bass', 'root and fifth', {
        ...ONE_CHORD,
        chords: ONE_CHORD.chords.map(() => chord),
      }))
        expect(Math.max(...notes.map((note) => note.fret))).toBeLessThanOrEqual(5);
  });
});
