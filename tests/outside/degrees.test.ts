import { Progression } from 'tonal';
import { describe, expect, it } from 'vitest';
import { degreeOf, type Key } from '../../lib/theory';

const major = (tonic: string): Key => ({ tonic, mode: 'major' });

describe('chords by scale degree', () => {
  // Common practice, no source: how number charts are written. Figures by hand.
  const written: readonly (readonly [string, Key, readonly (readonly [string, string])[]])[] = [
    [
      'G',
      major('G'),
      [
        ['G', '1'],
        ['C', '4'],
        ['D', '5'],
        ['D7', '5⁷'],
        ['Am', '2-'],
        ['Em7', '6-⁷'],
      ],
    ],
    [
      'G, with a bass',
      major('G'),
      [
        ['D/F#', '5/7'],
        ['G/B', '1/3'],
        ['C/G', '4/1'],
        ['G/F', '1/♭7'],
      ],
    ],
    [
      'A',
      major('A'),
      [
        ['E7', '5⁷'],
        ['G', '♭7'],
        ['F#m', '6-'],
        ['C', '♭3'],
        ['A/C#', '1/3'],
      ],
    ],
    [
      'B flat',
      major('Bb'),
      [
        ['Eb', '4'],
        ['F7', '5⁷'],
        ['Gm', '6-'],
        ['Ab', '♭7'],
        ['E', '♯4'],
      ],
    ],
    [
      'F',
      major('F'),
      [
        ['Bb', '4'],
        ['C7', '5⁷'],
        ['Bbm', '4-'],
        ['Eb', '♭7'],
        ['B', '♯4'],
        ['Cb', '♭5'],
      ],
    ],
    [
      'E minor: home is 1 there too',
      { tonic: 'E', mode: 'minor' },
      [
        ['Em', '1-'],
        ['Am', '4-'],
        ['B7', '5⁷'],
        ['G', '♭3'],
        ['D', '♭7'],
        ['C', '♭6'],
      ],
    ],
    [
      'D mixolydian',
      { tonic: 'D', mode: 'mixolydian' },
      [
        ['D', '1'],
        ['C', '♭7'],
        ['G', '4'],
      ],
    ],
    [
      'what follows the number',
      major('C'),
      [
        ['Cmaj7', '1maj⁷'],
        ['CM7', '1maj⁷'],
        ['Bdim', '7°'],
        ['Bm7b5', '7ø'],
        ['Gaug', '5+'],
        ['Gsus4', '5sus⁴'],
        ['Cadd9', '1add⁹'],
        ['G7b9', '5⁷♭⁹'],
        ['C6', '1⁶'],
        ['Dm', '2-'],
      ],
    ],
  ];
  it.each(written)('in %s', (_, key, chords) => {
    for (const [symbol, number] of chords) expect(degreeOf(symbol, key), symbol).toBe(number);
  });

  it('says nothing of what is no chord', () => {
    for (const symbol of ['N.C.', '', '?', 'H7', 'tacet']) expect(degreeOf(symbol, major('C'))).toBeNull();
  });

  // Reference library: tonal (roman numerals of chords above a tonic).
  it('agrees with roman numerals in every major key', () => {
    const roman = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'];
    const kinds = ['', 'm', '7', 'm7'];
    let looked = 0;
    for (const tonic of ['C', 'G', 'D', 'A', 'E', 'B', 'F#', 'F', 'Bb', 'Eb', 'Ab', 'Db'])
      for (const root of ['C', 'C#', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'])
        for (const kind of kinds) {
          const [numeral = ''] = Progression.toRomanNumerals(tonic, [root + kind]);
          const [, accidental = '', letters = ''] = /^([#b]*)([IV]+)/.exec(numeral) ?? [];
          if (accidental.length > 1) continue;
          const number =
            accidental.replace('#', '♯').replace('b', '♭') +
            (roman.indexOf(letters) + 1) +
            { '': '', m: '-', 7: '⁷', m7: '-⁷' }[kind];
          expect(degreeOf(root + kind, major(tonic)), `${root}${kind} in ${tonic}`).toBe(number);
          looked += 1;
        }
    expect(looked).toBeGreaterThan(600);
  });
});
