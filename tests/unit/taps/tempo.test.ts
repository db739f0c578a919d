import { describe, expect, it } from 'vitest';
import { tempoOfTaps } from '@/lib/taps';

const FOUR = { count: 4, unit: 4 };
const even = (count: number, seconds: number, from = 0): number[] =>
  Array.from({ length: count }, (_, i) => from + i * seconds);

function tapped(seconds: readonly number[], meter = FOUR) {
  const found = tempoOfTaps(seconds, meter, 1234);
  if (!found.ok) throw new Error(found.error.what);
  return found.value;
}

describe('a tempo that was tapped', () => {
  it('is in quarter notes a minute, whatever beat the meter counts', () => {
    expect(tapped(even(8, 0.5))).toEqual({ tempo: 120, range: { low: 120, high: 120, at: 1234 }, beats: 8 });
    expect(tapped(even(8, 0.5), { count: 6, unit: 8 }).tempo).toBe(180);
    expect(tapped(even(8, 0.5), { count: 2, unit: 2 }).tempo).toBe(240);
  });

  it('is not moved by a beat left out, a double tap, or what came before a pause', () => {
    const taps = even(9, 0.6);
    expect(tapped(taps.filter((_, i) => i !== 4)).tempo).toBe(100);
    expect(tapped([...taps.slice(0, 4), 1.9, ...taps.slice(4)]).tempo).toBe(100);
    expect(tapped([...even(5, 0.3), ...even(8, 0.6, 10)])).toMatchObject({ tempo: 100, beats: 8 });
  });

  it('has the range over which it ran, round the tempo itself', () => {
    const faster = Array.from({ length: 17 }, (_, i) => i * 0.5 - 0.004 * i * i);
    const { tempo, range } = tapped(faster);
    expect(range.low).toBeLessThan(tempo);
    expect(range.high).toBeGreaterThan(tempo);
    expect(range.low).toBeGreaterThanOrEqual(120);
  });

  it('asks for more taps, and refuses what no song goes at', () => {
    for (const seconds of [[], [0], even(3, 0.5), [1, 1, 1, 1, 1]])
      expect(tempoOfTaps(seconds, FOUR, 0).ok).toBe(false);
    expect(tempoOfTaps(even(8, 0.1), FOUR, 0).ok).toBe(false);
  });
});
