import { describe, expect, it } from 'vitest';
import { openInWords, turnInWords } from '../../../lib/plan/turn-words';

describe('turns in words', () => {
  it.each([
    [1, 2.4, 'their first turn of two or three'],
    [3, 2.4, 'their third turn of two or three'],
    [4, 2.4, 'their fourth turn, where two or three would be fair'],
    [2, 2.1, 'their second turn of two'],
    [3, 2.1, 'their third turn, where two would be fair'],
    [1, 0.5, 'their one turn'],
    [1, 1.1, 'their one turn'],
    [1, 1.5, 'their first turn of one or two'],
    [1, 0, 'their first turn, where none would be fair'],
    [12, 11.5, 'their 12th turn of 11 or 12'],
    [21, 23, 'their 21st turn of 23'],
  ])('%i of %d: %s', (count, share, words) => {
    expect(turnInWords(count, share)).toBe(words);
  });

  it('tells of spaces left open what the band wants open', () => {
    expect(openInWords(2, 3)).toBe('the second space left open of three that the band wants');
    expect(openInWords(4, 2.5)).toBe('the fourth space left open, where the band wants two or three');
    expect(openInWords(1, 0.8)).toBe('the one space that the band wants left open');
    expect(openInWords(1, 0)).toBe('the first space left open, where the band wants none');
  });
});
