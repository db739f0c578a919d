import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Articulation,
  chordShape,
  DEFAULT_SPAN_MILLIMETRES,
  type Fingering,
  type InstrumentName,
  type NoteToPlan,
  plainSetup,
  planHand,
} from '../../lib/instruments';
import { INSTRUMENT_FACTS } from '../../lib/instruments/tunings';
import { type HandCase, leastByBruteForce } from './checker/hand-brute-force';

/*
 * The left hand's plan against a brute force that tries every string, finger and position of every note (checker/hand-brute-force.ts), and
 * against what players do.
 */

const ALL: readonly InstrumentName[] = ['guitar', 'banjo', 'mandolin', 'fiddle', 'resonator guitar', 'bass'];
const ARTICULATIONS: readonly Articulation[] = [
  'struck',
  'struck',
  'struck',
  'hammer',
  'pull',
  'slide',
  'choke',
];

/** Small cases: up to four notes near one another, in sequence, overlapping or together, with or without strings asked for. */
function cases(instruments: readonly InstrumentName[], most: number): fc.Arbitrary<HandCase> {
  return fc.constantFrom(...instruments).chain((instrument) => {
    const facts = INSTRUMENT_FACTS[instrument];
    const strings = facts.tunings[0]?.midi ?? [];
    const note = fc.record({
      string: fc.integer({ min: 1, max: strings.length }),
      fret: fc.integer({ min: 0, max: 7 }),
      asks: fc.integer({ min: 0, max: 3 }),
      step: fc.constantFrom(0, 240, 480, 480, 960),
      ticks: fc.constantFrom(240, 480, 480, 960, 1440),
      articulation: fc.constantFrom(...ARTICULATIONS),
    });
    return fc
      .record({
        capo: fc.constantFrom(0, 0, Math.min(2, facts.highestCapo)),
        fifthCapo: fc.constantFrom(null, null, 0),
        tempo: fc.constantFrom(60, 120, 220),
        span: fc.constantFrom(1, 1, 0.8).map((share) => share * DEFAULT_SPAN_MILLIMETRES[instrument]),
        written: fc.array(note, { minLength: 1, maxLength: most }),
      })
      .map(({ capo, fifthCapo, tempo, span, written }): HandCase => {
        let tick = 0;
        const notes = written.map((each, index) => {
          tick += index === 0 ? 0 : each.step;
          return {
            tick,
            ticks: each.ticks,
            midi: (strings[each.string - 1] ?? 0) + capo + each.fret,
            articulation: each.articulation,
            string: each.asks > 0 ? each.string : null,
          };
        });
        return { setup: { ...plainSetup(instrument), capo, fifthCapo }, notes, span, tempo };
      });
  });
}

function plan({ setup, notes, span, tempo }: HandCase) {
  return planHand(notes, { setup, spanMillimetres: span, quartersPerMinute: tempo });
}

function agrees(each: HandCase): { planned: boolean } {
  const least = leastByBruteForce(each);
  const planned = plan(each);
  expect(planned.ok).toBe(least !== null);
  if (planned.ok && least !== null) {
    expect(planned.value.cost).toBeCloseTo(least, 6);
    expect(planned.value.terms.reduce((sum, term) => sum + term.cost, 0)).toBeCloseTo(least, 6);
  }
  return { planned: planned.ok };
}

describe('hand plans equal to brute force', () => {
  it('on random small cases of every instrument', () => {
    let held = 0;
    let refused = 0;
    fc.assert(
      fc.property(cases(ALL, 3), (each) => {
        if (agrees(each).planned) held++;
        else refused++;
      }),
      { numRuns: 800, seed: 7 },
    );
    // Both answers have been put to the test.
    expect(held).toBeGreaterThan(60);
    expect(refused).toBeGreaterThan(60);
  });

  it('on every three-note line of a guitar within an octave, strings free', () => {
    for (const second of [52, 57, 62]) {
      for (const third of [54, 57, 64]) {
        const notes = [55, second, third].map((midi, index) => ({
          tick: index * 480,
          ticks: 480,
          midi,
          articulation: 'struck' as const,
          string: null,
        }));
        agrees({ setup: plainSetup('guitar'), notes, span: 115, tempo: 100 });
      }
    }
  });

  it('on every pair of held notes of a roll', () => {
    for (const instrument of ['guitar', 'banjo'] as const) {
      const strings = INSTRUMENT_FACTS[instrument].tunings[0]?.midi ?? [];
      for (let low = 0; low <= 5; low++) {
        for (let high = 0; high <= 5; high++) {
          const notes = [
            { tick: 0, ticks: 1440, midi: (strings[3] ?? 0) + low, string: 4 },
            { tick: 480, ticks: 960, midi: (strings[2] ?? 0) + high, string: 3 },
            { tick: 960, ticks: 480, midi: strings[1] ?? 0, string: 2 },
            { tick: 1440, ticks: 480, midi: (strings[3] ?? 0) + high, string: 4 },
          ].map((note) => ({ ...note, articulation: 'struck' as const }));
          agrees({ setup: plainSetup(instrument), notes, span: 115, tempo: 160 });
        }
      }
    }
  });
});

/** Whether two lengths of string are those of frets at most two apart. */
const twoFrets = (a: number, b: number) => Math.max(a, b) / Math.min(a, b) < 2 ** (2.01 / 12);

describe('plans that a hand can play', () => {
  /** Judges a plan by what may be seen from outside: pitch, strings, span, one note a string, one place a finger. */
  function judge(each: HandCase, fingerings: readonly Fingering[]): void {
    const facts = INSTRUMENT_FACTS[each.setup.instrument];
    const tuning = facts.tunings[0]?.midi ?? [];
    const seen = each.notes.map((note, index) => {
      const { string, fret, finger } = fingerings[index] ?? { string: 0, fret: 0, finger: 0 };
      const start = facts.startsAtFret[string] ?? 0;
      const capo = start > 0 ? (each.setup.fifthCapo ?? each.setup.capo) : each.setup.capo;
      expect((tuning[string - 1] ?? 0) + capo + fret).toBe(note.midi);
      if (note.string !== null) expect(string).toBe(note.string);
      expect(finger === 0).toBe(fret === 0);
      const nut = facts.scaleMillimetres * 2 ** (-(start + capo + fret) / 12);
      return { ...note, on: string, finger, nut, end: note.tick + note.ticks };
    });
    const slurred = (note: NoteToPlan) => ['hammer', 'pull', 'slide'].includes(note.articulation);
    for (const a of seen) {
      for (const b of seen) {
        const overlap = a !== b && a.tick <= b.tick && b.tick < a.end;
        const cut = seen.some(
          (c) => c !== a && c.on === a.on && slurred(c) && c.tick > a.tick && c.tick <= b.tick,
        );
        if (!overlap || cut) continue;
        expect(a.on).not.toBe(b.on);
        if (a.finger === 0 || b.finger === 0) continue;
        expect(Math.abs(a.nut - b.nut)).toBeLessThanOrEqual(each.span);
        // Common practice, no source: a bar may slant over two neighbouring strings struck at once, two frets at most.
        const slants =
          facts.hand === 'bar' && a.tick === b.tick && Math.abs(a.on - b.on) === 1 && twoFrets(a.nut, b.nut);
        if (a.finger === b.finger && !slants) expect(a.nut).toBeCloseTo(b.nut, 9);
      }
    }
  }

  it('on longer fills of every instrument', () => {
    let played = 0;
    fc.assert(
      fc.property(cases(ALL, 9), (each) => {
        const planned = plan(each);
        if (!planned.ok) {
          expect(Object.values(planned.error).every((text) => text.length > 0)).toBe(true);
          return;
        }
        played++;
        judge(each, planned.value.fingerings);
      }),
      { numRuns: 600, seed: 11 },
    );
    expect(played).toBeGreaterThan(50);
  });
});

describe('what a player would do', () => {
  const line = (instrument: InstrumentName, midis: readonly number[]) => {
    const notes = midis.map((midi, index) => ({
      tick: index * 480,
      ticks: 480,
      midi,
      articulation: 'struck' as const,
      string: null,
    }));
    const planned = plan({
      setup: plainSetup(instrument),
      notes,
      span: DEFAULT_SPAN_MILLIMETRES[instrument],
      tempo: 100,
    });
    if (!planned.ok) throw new Error(planned.error.what);
    return planned.value.fingerings;
  };

  // Source, from memory: first position of violin and mandolin tutors: open, then fingers 1 2 3 on the notes of the scale.
  it.each(['fiddle', 'mandolin'] as const)('plays a G major scale on %s in first position', (instrument) => {
    const scale = line(instrument, [55, 57, 59, 60, 62, 64, 66, 67]);
    expect(scale.map(({ string, finger }) => `${string}:${finger}`).join(' ')).toBe(
      '4:0 4:1 4:2 4:3 3:0 3:1 3:2 3:3',
    );
  });

  // Source, from memory: the same tutors; a chord taken one note after another keeps the fingers of the scale.
  it.each(['fiddle', 'mandolin'] as const)('leaps on %s with the fingers of first position', (instrument) => {
    const leaps = line(instrument, [74, 71, 67, 64, 67, 72]);
    expect(leaps.map(({ string, finger }) => `${string}:${finger}`).join(' ')).toBe(
      '2:3 2:1 3:3 3:1 3:3 2:2',
    );
  });

  // Source, from memory: the low G of a guitar lies on the sixth string's third fret, and a run from it in open position uses finger n on fret n.
  it('plays a low run on guitar in open position', () => {
    const run = line('guitar', [43, 45, 46, 47, 50, 52, 55]);
    expect(run.map(({ string, fret }) => `${string}:${fret}`).join(' ')).toBe('6:3 5:0 5:1 5:2 4:0 4:2 3:0');
    expect(run.every(({ fret, finger }) => finger === fret)).toBe(true);
  });

  // Source, from memory: open-position shapes that every guitar tutor prints, sixth string first; x not struck.
  it.each([
    ['G', [7, 11, 2], '320003'],
    ['C', [0, 4, 7], 'x32010'],
    ['D', [2, 6, 9], 'xx0232'],
    ['Em', [4, 7, 11], '022000'],
    ['Am', [9, 0, 4], 'x02210'],
    ['E', [4, 8, 11], '022100'],
    ['A', [9, 1, 4], 'x02220'],
    ['F', [5, 9, 0], '133211'],
  ])('finds the %s shape among the first three', (_, pitchClasses, shape) => {
    const found = chordShape(plainSetup('guitar'), pitchClasses, { count: 3 });
    if (!found.ok) throw new Error(found.error.what);
    const drawn = found.value.map(({ stops }) =>
      [6, 5, 4, 3, 2, 1].map((string) => stops.find((stop) => stop.string === string)?.fret ?? 'x').join(''),
    );
    expect(drawn).toContain(shape);
  });
});
