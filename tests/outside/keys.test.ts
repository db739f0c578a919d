import { describe, expect, it } from 'vitest';
import { must } from '@/lib/base';
import type { InstrumentName } from '@/lib/instruments';
import { keysForSinger, readExtent, setupsForKey } from '@/lib/keys';
import { keyName, parseKey } from '@/lib/theory';

const key = (name: string) => must(parseKey(name), name);

/** The best setup for a key, of a player who had everything as it comes, in a key whose shapes nobody wants to keep. */
function best(instrument: InstrumentName, name: string, tuning = 'standard') {
  const wanted = key(name);
  const before = {
    setup: { instrument, tuning, capo: 0, fifthCapo: null },
    key: { tonic: wanted.mode === 'minor' ? 'F#' : 'Db', mode: wanted.mode },
  };
  const ways = setupsForKey(wanted, before);
  if (!ways.ok) throw new Error(ways.error.what);
  const { setup, shapes } = must(ways.value[0], 'a way');
  return {
    capo: setup.capo,
    fifth: setup.fifthCapo ?? setup.capo,
    shapes: keyName(shapes),
    tuning: setup.tuning,
  };
}

describe('capos and shapes', () => {
  // Common practice, no source: G, C, D, A and E shapes ring best on guitar; a capo keeps them.
  it.each([
    ['G', 0, 'G'],
    ['C', 0, 'C'],
    ['D', 0, 'D'],
    ['E', 0, 'E'],
    ['A', 2, 'G'],
    ['Bb', 3, 'G'],
    ['B', 4, 'G'],
    ['Am', 0, 'Am'],
    ['Em', 0, 'Em'],
    ['Bm', 2, 'Am'],
    ['F#m', 2, 'Em'],
  ])('guitar in %s: capo %i, %s shapes', (name, capo, shapes) => {
    expect(best('guitar', name)).toMatchObject({ capo, shapes });
  });

  // Common practice, no source: F on guitar is played out of D, E or C shapes with a capo, never as barres from the nut.
  it('guitar in F takes a capo', () => {
    expect(['C', 'D', 'E']).toContain(best('guitar', 'F').shapes);
  });

  // Common practice, no source: banjo in A: capo 2 and the fifth string up to A (2 frets); in B: capo 4 and up to B (4 frets); in Bb: 3 and 3; in D
  // the fifth string goes up to A.
  it.each([
    ['G', 0, 0],
    ['A', 2, 2],
    ['Bb', 3, 3],
    ['B', 4, 4],
  ])('banjo in %s: capo %i, fifth string up %i', (name, capo, fifth) => {
    expect(best('banjo', name)).toMatchObject({ capo, fifth, shapes: 'G' });
  });
  it('banjo in D: the fifth string sounds A; in C it stays G', () => {
    expect(best('banjo', 'D').fifth).toBe(2);
    expect(best('banjo', 'C')).toMatchObject({ capo: 0, fifth: 0, shapes: 'C' });
  });

  // Common practice, no source: the double C tuning is for C, and with a capo at 2 for D.
  it('banjo in double C plays C open and D with the capo at 2', () => {
    expect(best('banjo', 'C', 'double C')).toMatchObject({ capo: 0, tuning: 'double C' });
    expect(best('banjo', 'D', 'double C')).toMatchObject({ capo: 2, tuning: 'double C', shapes: 'C' });
  });

  // Common practice, no source: mandolin, fiddle and bass play without a capo.
  it.each<[InstrumentName]>([['mandolin'], ['fiddle'], ['bass']])('%s: no capo in any key', (instrument) => {
    for (const name of ['G', 'B', 'Eb', 'F#m']) expect(best(instrument, name).capo).toBe(0);
  });

  it('a voice has nothing to set up', () => {
    const before = {
      setup: { instrument: 'voice', tuning: 'standard', capo: 0, fifthCapo: null },
      key: key('G'),
    };
    expect(setupsForKey(key('A'), { ...before, setup: { ...before.setup, instrument: 'voice' } })).toEqual({
      ok: true,
      value: [],
    });
  });
});

describe('keys for a singer', () => {
  const extent = (low: string, high: string) => {
    const read = readExtent(low, high);
    if (!read.ok) throw new Error(read.error.what);
    return read.value;
  };

  // Worked by hand: D4 to E5 spans 14 semitones; a voice from A3 to B4 spans 14 as well, so only five semitones down fits: G to D.
  it('a tune that just fits has one key', () => {
    const keys = keysForSinger(key('G'), extent('D4', 'E5'), extent('A3', 'B4'));
    expect(keys.ok && keys.value.map((each) => [keyName(each.key), each.semitones, each.fits])).toEqual([
      ['D', -5, true],
    ]);
  });

  // Worked by hand: an octave from G3 to G4 in a voice from G3 to D5 (19 semitones) has seven to spare, so eight keys fit: G up to D.
  it('lists every key inside the range', () => {
    const keys = keysForSinger(key('G'), extent('G3', 'G4'), extent('G3', 'D5'));
    expect(keys.ok && keys.value.map((each) => keyName(each.key)).sort()).toEqual(
      ['A', 'Ab', 'B', 'Bb', 'C', 'D', 'Db', 'G'].sort(),
    );
    // The middle of the voice is the best: three or four semitones up, B flat or B.
    expect(keys.ok && ['Bb', 'B']).toContain(keys.ok ? keyName(must(keys.value[0], 'a key').key) : '');
  });

  it('where nothing fits the nearest keys are given, and marked', () => {
    const keys = keysForSinger(key('C'), extent('C3', 'G5'), extent('A3', 'A4'));
    expect(keys.ok && keys.value).toHaveLength(12);
    expect(keys.ok && keys.value.every(({ fits }) => !fits)).toBe(true);
  });
});
