import { describe, expect, it } from 'vitest';
import { must } from '../../lib/base';
import {
  INSTRUMENT_FACTS,
  type InstrumentName,
  openStrings,
  placeMillimetres,
  plainSetup,
  writtenMidi,
} from '../../lib/instruments';
import { fretFromNut, NECKS } from './checker/facts';

/*
 * Source: stuphi.co.uk, 'Guitar bits n bobs', a table for a string of 25 inches (635 mm, the resonator guitar's): from each fret
 * to the bridge, in millimetres, frets 1 to 10.
 */
const TO_BRIDGE = [599.36, 565.721, 533.969, 504.0, 475.712, 449.013, 423.812, 400.025, 377.573, 356.382];

describe('frets in millimetres', () => {
  it('lie where a published table for 635 mm has them', () => {
    const strings = openStrings(plainSetup('resonator guitar'));
    if (!strings.ok) throw new Error(strings.error.what);
    TO_BRIDGE.forEach((left, index) => {
      const fromNut = placeMillimetres('resonator guitar', strings.value, { string: 1, fret: index + 1 });
      expect(Math.abs(fromNut - (635 - left))).toBeLessThan(0.03);
      // The checker's own rule, of 17.817, too.
      expect(Math.abs(fretFromNut(635, index + 1) - (635 - left))).toBeLessThan(0.03);
    });
  });

  it('move with a capo, and with the banjo’s short string, which begins at the fifth', () => {
    const setup = { ...plainSetup('banjo'), capo: 2 };
    const strings = openStrings(setup);
    if (!strings.ok) throw new Error(strings.error.what);
    const scale = must(NECKS.banjo, 'a banjo').scale;
    expect(placeMillimetres('banjo', strings.value, { string: 1, fret: 3 })).toBeCloseTo(
      fretFromNut(scale, 5),
      1,
    );
    expect(placeMillimetres('banjo', strings.value, { string: 5, fret: 0 })).toBeCloseTo(
      fretFromNut(scale, 7),
      1,
    );
  });

  it('are as many, on strings as long, as the checker has by itself', () => {
    for (const [name, { scale, frets }] of Object.entries(NECKS)) {
      const facts = Object.entries(INSTRUMENT_FACTS).find(([each]) => each === name)?.[1];
      expect([facts?.scaleMillimetres, facts?.frets]).toEqual([scale, frets]);
    }
  });
});

describe('written and sounding octaves', () => {
  // Source: Wikipedia, 'List of transposing instruments' (oldid 714412021): guitar, banjo and double bass stand under 'sounding an octave
  // lower than written'. Source: Georgetown College, conducting handout 6: the violin sounds what it reads, the bass an octave lower.
  it.each(['guitar', 'banjo', 'bass'] as const)('the %s is written an octave above its sound', (name) => {
    expect(writtenMidi(name, 55)).toBe(67);
  });

  // Source, from memory, for the mandolin: it is tuned and written like the violin. Common practice, no source, for the resonator guitar: as it sounds.
  it.each(['fiddle', 'mandolin', 'resonator guitar'] satisfies readonly InstrumentName[])(
    'the %s is written as it sounds',
    (name) => {
      expect(writtenMidi(name, 62)).toBe(62);
    },
  );
});
