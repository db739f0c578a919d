import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  betweenFretsMillimetres,
  DEFAULT_SPAN_MILLIMETRES,
  fretMillimetres,
  INSTRUMENTS,
  type OpenString,
  openStrings,
  placeMillimetres,
  placesOf,
  plainSetup,
  rangeOf,
  type Setup,
  stringCount,
  tuningsOf,
  writtenMidi,
} from '../../../lib/instruments';

function opened(setup: Setup): readonly OpenString[] {
  const strings = openStrings(setup);
  if (!strings.ok) throw new Error(strings.error.what);
  return strings.value;
}

const stringed = INSTRUMENTS.filter((instrument) => instrument !== 'voice');

describe('a setup', () => {
  it('has its standard tuning first, on every instrument with strings', () => {
    for (const instrument of stringed) {
      expect(tuningsOf(instrument)[0]?.name).toBe('standard');
      expect(opened(plainSetup(instrument))).toHaveLength(stringCount(instrument));
      expect(DEFAULT_SPAN_MILLIMETRES[instrument]).toBeGreaterThan(80);
      for (const tuning of tuningsOf(instrument)) expect(tuning.source).not.toBe('');
    }
  });

  it('of a voice has no strings', () => {
    expect(opened(plainSetup('voice'))).toEqual([]);
    expect(stringCount('voice')).toBe(0);
    expect(rangeOf(plainSetup('voice')).ok).toBe(false);
  });

  it('raises every string with the capo, the banjo’s fifth by its own', () => {
    expect(opened({ ...plainSetup('guitar'), capo: 2 }).map(({ midi }) => midi)).toEqual([
      66, 61, 57, 52, 47, 42,
    ]);
    const banjo = (fifthCapo: number | null) => opened({ ...plainSetup('banjo'), capo: 2, fifthCapo })[4];
    expect(banjo(null)).toMatchObject({ midi: 69, openAtFret: 7 });
    expect(banjo(0)).toMatchObject({ midi: 67, openAtFret: 5 });
    expect(banjo(4)).toMatchObject({ midi: 71, openAtFret: 9 });
  });

  it.each([
    [{ ...plainSetup('guitar'), tuning: 'double C' }, "no tuning 'double C'", 'standard, drop D'],
    [{ ...plainSetup('guitar'), capo: 15 }, 'capo at fret 15', '0 to 9'],
    [{ ...plainSetup('guitar'), capo: -1 }, 'capo at fret -1', '0 to 9'],
    [{ ...plainSetup('guitar'), capo: 1.5 }, 'capo at fret 1.5', '0 to 9'],
    [{ ...plainSetup('banjo'), fifthCapo: 12 }, 'capo at fret 12', '0 to 7'],
    [{ ...plainSetup('fiddle'), capo: 2 }, 'takes no capo', 'to 0'],
  ])('that cannot be says what is wrong and what to do', (setup, what, mend) => {
    const strings = openStrings(setup);
    if (strings.ok) throw new Error('it can');
    expect(strings.error.what).toContain(what);
    expect(strings.error.where).toContain(setup.instrument);
    expect(strings.error.mend).toContain(mend);
    expect(rangeOf(setup).ok).toBe(false);
  });
});

describe('places', () => {
  it('of a pitch are all strings that have it within reach', () => {
    expect(placesOf(opened(plainSetup('guitar')), 64)).toEqual([
      { string: 1, fret: 0 },
      { string: 2, fret: 5 },
      { string: 3, fret: 9 },
      { string: 4, fret: 14 },
      { string: 5, fret: 19 },
    ]);
    expect(placesOf(opened(plainSetup('guitar')), 39)).toEqual([]);
    expect(placesOf(opened(plainSetup('banjo')), 69)).toContainEqual({ string: 5, fret: 2 });
  });

  it('sound the pitch that was sought, and none is left out', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...stringed),
        fc.integer({ min: 0, max: 7 }),
        fc.integer({ min: 20, max: 100 }),
        (instrument, capo, midi) => {
          const result = openStrings({ ...plainSetup(instrument), capo });
          if (!result.ok) return;
          const places = placesOf(result.value, midi);
          for (const { string, midi: open, highestFret } of result.value) {
            const place = places.find((each) => each.string === string);
            if (place) expect(open + place.fret).toBe(midi);
            expect(place !== undefined).toBe(midi >= open && midi <= open + highestFret);
          }
        },
      ),
      { numRuns: 300 },
    );
  });

  it('stay within the range', () => {
    expect(rangeOf(plainSetup('guitar'))).toEqual({ ok: true, value: { lowest: 40, highest: 84 } });
    expect(rangeOf({ ...plainSetup('guitar'), tuning: 'drop D' })).toEqual({
      ok: true,
      value: { lowest: 38, highest: 84 },
    });
    expect(rangeOf(plainSetup('banjo'))).toEqual({ ok: true, value: { lowest: 50, highest: 84 } });
  });
});

describe('millimetres', () => {
  it('grow with the fret, each step smaller than the one before', () => {
    for (let fret = 1; fret < 20; fret++) {
      const step = betweenFretsMillimetres(645, fret - 1, fret);
      expect(step).toBeGreaterThan(betweenFretsMillimetres(645, fret, fret + 1));
      expect(step).toBeGreaterThan(0);
    }
  });

  it('of a place are those of the neck, with the capo and the banjo’s short string counted', () => {
    const strings = opened({ ...plainSetup('banjo'), capo: 2 });
    expect(placeMillimetres('banjo', strings, { string: 1, fret: 3 })).toBeCloseTo(
      fretMillimetres(667, 5),
      9,
    );
    expect(placeMillimetres('banjo', strings, { string: 5, fret: 1 })).toBeCloseTo(
      fretMillimetres(667, 8),
      9,
    );
  });
});

it('is written an octave above its sound on guitar, banjo and bass only', () => {
  expect(stringed.filter((instrument) => writtenMidi(instrument, 60) === 72)).toEqual([
    'guitar',
    'banjo',
    'bass',
  ]);
});
