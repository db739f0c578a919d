import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { beatsSaid } from '@/lib/time';

// Rule of the trade, from memory: a place between beats is said by its part of the beat, never by a decimal.
describe('beats as players say them', () => {
  it.each([
    [2, '2'],
    [2.5, '2 and a half'],
    [2.667, '2 and two thirds'],
    [1 / 3, 'a third'],
    [4.25, '4 and a quarter'],
    [3.125, '3 and an eighth'],
    [1.9995, '2'],
    [1 + 5 / 6, '1 and five sixths'],
    [2.45, '2 and a little'],
  ])('%d: %s', (beats, words) => {
    expect(beatsSaid(beats)).toBe(words);
  });

  it('have no decimals, wherever they fall', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 64, noNaN: true }), (beats) => {
        expect(beatsSaid(beats)).toMatch(/^(\d+|(\d+ and )?(a|an|two|three|five|seven) [a-z]+)$/);
      }),
    );
  });
});
