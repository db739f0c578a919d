import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { itemAt, must } from '../../../lib/base';
import { figureOf, type Offer, OWN_FIGURE } from '../../../lib/fills';
import { onChord } from '../../../lib/fills/figure';
import { openStrings, plainSetup } from '../../../lib/instruments';
import { type Figure, figureSchema } from '../../../lib/song';
import { parseChord, pitchClassOf, toneOf } from '../../../lib/theory';
import { offersFor, requestFor, type Shorthand, SIX_BEATS } from './songs';

const chord = (symbol: string) => must(parseChord(symbol), symbol);

const guitar = plainSetup('guitar');
const own = (offers: readonly Offer[]) => offers.filter((offer) => offer.family === OWN_FIGURE);
/** Written on G: root, flat third into third, fifth, root. Eighths from the beat. */
const places = [
  [6, 3, 43],
  [5, 1, 46],
  [5, 2, 47],
  [4, 0, 50],
  [3, 0, 55],
] as const;
const FIGURE: Figure = {
  id: 'f1',
  playerId: 'p1',
  name: 'my old one',
  instrument: 'guitar',
  chord: 'G',
  extent: { from: 0, to: 5 * 480 },
  notes: places.map(([string, fret, midi], i) => ({
    tick: i * 480,
    ticks: 480,
    midi,
    string,
    fret,
    finger: fret === 0 ? 0 : Math.min(4, fret),
    articulation: i === 2 ? 'hammer' : 'struck',
    stroke: null,
    strokeRule: null,
    exception: false,
  })),
};

/** Triads by hand. Common practice, no source. */
describe('a note moved from chord to chord', () => {
  test.each([
    ['the root of G to C', 43, 'G', 'C', 48],
    ['the third of G to the third of Am', 47, 'G', 'Am', 48],
    ['the third of G to the third of C', 47, 'G', 'C', 52],
    ['the fifth of G to the fifth of D, below', 50, 'G', 'D', 45],
    ['the minor third of Em to the third of G', 43, 'Em', 'G', 47],
    ['the flat third over G, which stays flat over D', 46, 'G', 'D', 41],
    ['the flat third over G to the second of Em, which leads into its third', 46, 'G', 'Em', 42],
    ['the second of G to the second of A', 45, 'G', 'A', 47],
  ])('%s', (_, midi, from, to, expected) => {
    expect(onChord(midi, chord(from), chord(to))).toBe(expected);
  });

  test('chord tones go to chord tones, and back to where they were', () => {
    const triads = ['C', 'Dm', 'Eb', 'F#m', 'G', 'A', 'Bbm', 'B'];
    fc.assert(
      fc.property(
        fc.constantFrom(...triads),
        fc.constantFrom(...triads),
        fc.integer({ min: 40, max: 80 }),
        (a, b, midi) => {
          const tone = toneOf(chord(a), midi);
          if (!tone) return;
          const there = onChord(midi, chord(a), chord(b));
          expect(toneOf(chord(b), there)).not.toBeNull();
          expect(pitchClassOf(onChord(there, chord(b), chord(a)) - midi)).toBe(0);
        },
      ),
    );
  });
});

describe('a figure of one’s own', () => {
  test('stands among the ideas, as it was written where its chord sounds', () => {
    const short: Shorthand = { ...SIX_BEATS, chords: ['G', 'G', 'G', 'G', 'G'] };
    const found = own(offersFor(requestFor(short, 'guitar', { figures: [FIGURE] })));
    expect(found.length).toBeGreaterThanOrEqual(1);
    const [first] = found;
    expect(first?.title).toBe('“my old one”, fitted to G');
    expect(first?.notes.map((note) => [note.string, note.fret, note.midi])).toEqual(
      places.map((each) => [...each]),
    );
    const start = first?.notes[0]?.tick ?? 0;
    expect(first?.notes.map((note) => note.tick - start)).toEqual([0, 480, 960, 1440, 1920]);
  });

  test('goes with the chords, the key and the capo', () => {
    for (const [key, chords, capo] of [
      ['G', ['G', 'C', 'C', 'D', 'G'], 0],
      ['A', ['A', 'D', 'A', 'E', 'A'], 2],
      ['Em', ['Em', 'Am', 'Am', 'B7', 'Em'], 0],
    ] as const) {
      const setup = { ...guitar, capo };
      const request = requestFor({ ...SIX_BEATS, key, chords: [...chords] }, 'guitar', {
        setup,
        figures: [FIGURE],
      });
      const strings = openStrings(setup);
      if (!strings.ok) throw new Error(strings.error.what);
      const found = own(offersFor(request));
      expect(found.length).toBeGreaterThanOrEqual(1);
      for (const offer of found) {
        const sounding = (tick: number) => chord(request.timeline.chordAt(tick)?.symbol ?? '');
        const roles = offer.notes.map((note) => pitchClassOf(note.midi - sounding(note.tick).root));
        expect(roles[0]).toBe(0);
        expect([3, 4]).toContain(roles[2]);
        expect(roles[3]).toBe(7);
        expect(roles[4]).toBe(0);
        for (const note of offer.notes)
          expect(itemAt(strings.value, note.string - 1).midi + note.fret).toBe(note.midi);
      }
    }
  });

  test('is offered however few ideas are asked for', () => {
    for (const count of [1, 2, 3, 5]) {
      const offers = offersFor({ ...requestFor(SIX_BEATS, 'guitar', { figures: [FIGURE] }), count });
      expect(own(offers).length).toBeGreaterThanOrEqual(1);
      expect(offers.length).toBeLessThanOrEqual(count);
    }
  });

  test('all of a player’s own figures are offered, each by its name', () => {
    const names = ['one', 'two', 'three', 'four'];
    const figures = names.map((name, i) => ({
      ...FIGURE,
      id: name,
      name,
      notes: FIGURE.notes.slice(i < 2 ? 0 : 1).map((note) => {
        const slower = 1 + (i % 2);
        return { ...note, tick: note.tick * slower, ticks: note.ticks * slower };
      }),
    }));
    const titles = own(offersFor(requestFor(SIX_BEATS, 'guitar', { figures }))).map(({ title }) => title);
    for (const name of names)
      expect(
        titles.some((title) => title.startsWith(`“${name}”`)),
        name,
      ).toBe(true);
  });

  test('is not offered on another instrument, or where no three notes of it have room', () => {
    expect(own(offersFor(requestFor(SIX_BEATS, 'banjo', { figures: [FIGURE] })))).toEqual([]);
    const long = { ...FIGURE, notes: FIGURE.notes.map((note) => ({ ...note, tick: note.tick * 16 })) };
    expect(own(offersFor(requestFor(SIX_BEATS, 'guitar', { figures: [long] })))).toEqual([]);
  });

  test('is kept from any idea, on one chord, and fits the place it came from', () => {
    for (const instrument of ['guitar', 'banjo', 'mandolin', 'fiddle', 'bass'] as const) {
      const request = requestFor(SIX_BEATS, instrument);
      for (const offer of offersFor(request)) {
        const kept = figureOf(request, offer, { playerId: 'p1', name: 'kept' });
        if (!kept.ok) throw new Error(kept.error.what);
        const figure = figureSchema.parse({ ...kept.value, id: 'f' });
        expect(figure.chord).toBe(request.timeline.chordAt(itemAt(offer.notes, 0).tick)?.symbol);
        expect(figure.notes).toHaveLength(offer.notes.length);
        const first = itemAt(figure.notes, 0).tick;
        expect(first).toBeGreaterThanOrEqual(0);
        expect(first).toBeLessThan(960);
      }
    }
    const request = requestFor(SIX_BEATS, 'guitar');
    const roll = must(
      offersFor(request).find((offer) => offer.family === 'forward roll'),
      'a forward roll',
    );
    const kept = figureOf(request, roll, { playerId: 'p1', name: 'kept' });
    if (!kept.ok) throw new Error(kept.error.what);
    const again = own(offersFor({ ...request, figures: [{ ...kept.value, id: 'f' }] }));
    const pitches = (offer: Offer) => offer.notes.map((note) => `${note.tick} ${pitchClassOf(note.midi)}`);
    expect(again.map(pitches)).toContainEqual(pitches(roll));
  });
});
