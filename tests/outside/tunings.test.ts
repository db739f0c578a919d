import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { describe, expect, it } from 'vitest';
import {
  fretMillimetres,
  INSTRUMENT_FACTS,
  type InstrumentName,
  openStrings,
  plainSetup,
  tuningsOf,
  writtenMidi,
} from '../../lib/instruments';
import { hertzOf, midiOf } from '../../lib/theory';

const require = createRequire(import.meta.url);

const standard = (instrument: InstrumentName) => tuningsOf(instrument)[0]?.midi ?? [];
const tuning = (instrument: InstrumentName, name: string) =>
  tuningsOf(instrument).find((each) => each.name === name)?.midi ?? [];

/** Note names with octave, the highest string number first, as MIDI note numbers, the first string first. */
const fromNames = (names: string) =>
  names
    .split(' ')
    .map((name) => midiOf(name))
    .reverse();

describe('tunings', () => {
  // Reference library: abcjs 6.7.2: its own table of strings in ABC, read by its own reader, which counts middle C as 48.
  it.each(['guitar', 'mandolin', 'fiddle'] as const)(
    'of the %s, as written, are those of an independent table',
    (name) => {
      const table = readFileSync(require.resolve('abcjs/src/tablatures/abc_tablatures.js'), 'utf8');
      const row = new RegExp(`'${name}': \\{[^\\]]*defaultTuning: \\[([^\\]]*)\\]`).exec(table)?.[1] ?? '';
      const inAbc = [...row.matchAll(/'([A-Ga-g][,']*)'/g)].map((match) => match[1]);
      expect(inAbc).toHaveLength(standard(name).length);
      const reader: unknown = require('abcjs/src/tablatures/instruments/string-patterns.js');
      if (typeof reader !== 'function') throw new Error('the reference is not where it was');
      const read: unknown = Reflect.construct(reader, [{ tuning: inAbc, capo: 0, params: {}, linePitch: 3 }]);
      if (typeof read !== 'object' || read === null || !('stringPitches' in read)) throw new Error('unread');
      if (!Array.isArray(read.stringPitches)) throw new Error('unread');
      const pitches = read.stringPitches.map((pitch: unknown) => Number(pitch) + 12).reverse();
      expect(standard(name).map((midi) => writtenMidi(name, midi))).toEqual(pitches);
    },
  );

  it('of the resonator guitar: G B D G B D, made from the guitar by 3, 2, 0, 0, 0 and -2 semitones', () => {
    // Source: Wikipedia, 'Open G tuning' (section on repetitive variants for special instruments).
    const guitar = standard('guitar');
    const change = [-2, 0, 0, 0, 2, 3];
    expect(standard('resonator guitar')).toEqual(guitar.map((midi, index) => midi + (change[index] ?? 0)));
    expect(standard('resonator guitar').map((midi) => midi % 12)).toEqual([2, 11, 7, 2, 11, 7]);
  });

  it('of the banjo: g D G B D with the short string highest', () => {
    // Source: Wikipedia, 'Open G tuning': 'g-D-G-B-D, where the lower case g denotes the highest-pitched drone string'.
    expect(standard('banjo').map((midi) => midi % 12)).toEqual([2, 11, 7, 2, 7]);
    expect(Math.max(...standard('banjo'))).toBe(standard('banjo')[4]);
    // Source, from memory: the octaves G4 D3 G3 B3 D4 are those of any tutor.
    expect(standard('banjo')).toEqual(fromNames('G4 D3 G3 B3 D4'));
  });

  it('of the banjo, modal: tuned string by string at the frets that a tutor names', () => {
    // Source: D. Plouffe, 'What is Sawmill Banjo Tuning?' (voices.yahoo.com): 4th string D; at fret 5 it is the 3rd; the
    // 3rd at fret 5 is the 2nd; the 2nd at fret 2 is the 1st; the 1st at fret 5 is the 5th.
    const [first = 0, second = 0, third = 0, fourth = 0, fifth = 0] = tuning('banjo', 'modal');
    expect([fourth + 5, third + 5, second + 2, first + 5]).toEqual([third, second, first, fifth]);
    expect(fourth).toBe(standard('banjo')[3]);
  });

  it('of the banjo, double C: g C G C D', () => {
    // Source: megri.co.uk, 'Double C (gCGCD)', an article on banjo tunings: the doubled C on the second and fourth strings.
    expect(tuning('banjo', 'double C').map((midi) => midi % 12)).toEqual([2, 0, 7, 0, 7]);
    // Source, from memory: the octaves.
    expect(tuning('banjo', 'double C')).toEqual(fromNames('G4 C3 G3 C4 D4'));
  });

  it.each([
    // Source, from memory: what any tutor of the instrument prints.
    ['guitar', 'drop D', 'D2 A2 D3 G3 B3 E4'],
    ['fiddle', 'cross A', 'A3 E4 A4 E5'],
    ['bass', 'standard', 'E1 A1 D2 G2'],
  ] as const)('of the %s, %s: %s', (instrument, name, names) => {
    expect(tuning(instrument, name)).toEqual(fromNames(names));
  });

  it('stand on A4 = 440 Hz', () => {
    // Source, from memory: ISO 16:1975.
    expect(hertzOf(69)).toBe(440);
    expect(standard('fiddle')[1]).toBe(69);
  });
});

describe('frets', () => {
  it('lie at the published shares of the string', () => {
    // Source: noah.org wiki, 'fret positioning', revision of 19 April 2015: factors for frets 1 to 24.
    const published = [
      0.056126, 0.109101, 0.159104, 0.206291, 0.250847, 0.292893, 0.33258, 0.370039, 0.405396, 0.438769,
      0.470268, 0.5, 0.528063, 0.554551, 0.579552, 0.60315, 0.625423, 0.646447, 0.66629, 0.68502, 0.702698,
      0.719385, 0.735134, 0.75,
    ];
    published.forEach((share, index) => {
      expect(Math.abs(fretMillimetres(1000, index + 1) - share * 1000)).toBeLessThan(0.01);
    });
  });

  it('follow the rule of 17.817: each takes that part of what is left', () => {
    // Source: the same page, and any luthier's book.
    for (const { scaleMillimetres } of Object.values(INSTRUMENT_FACTS)) {
      let left = scaleMillimetres;
      for (let fret = 1; fret <= 22; fret++) {
        left -= left / 17.817;
        expect(Math.abs(scaleMillimetres - fretMillimetres(scaleMillimetres, fret) - left)).toBeLessThan(
          0.02,
        );
      }
    }
  });

  it('halve the string at the twelfth', () => {
    // Source, from memory: the octave is half the string (Pythagoras).
    for (const { scaleMillimetres } of Object.values(INSTRUMENT_FACTS)) {
      expect(fretMillimetres(scaleMillimetres, 12)).toBeCloseTo(scaleMillimetres / 2, 9);
    }
  });
});

it('a capo on banjo: to play in A, capo 2 and the fifth string up to A; in B, capo 4 and up to B', () => {
  // Common practice, no source.
  for (const [capo, name] of [
    [2, 'A4'],
    [4, 'B4'],
  ] as const) {
    const strings = openStrings({ ...plainSetup('banjo'), capo });
    expect(strings.ok && strings.value[4]?.midi).toBe(midiOf(name));
  }
});
