import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt } from '../../../lib/base';
import { MIX_COSTS, planStrokes } from '../../../lib/instruments';

const FOUR_FOUR = { count: 4, unit: 4 };

/** Eighths on these strings, toward the next string; exceptions marked. */
function strokes(strings: readonly number[], mixes: boolean, run = false): string {
  return planStrokes(
    strings.map((string, i) => ({ tick: i * 480, ticks: 480, string, articulation: 'struck' as const, run })),
    { instrument: 'guitar', rule: 'toward', meter: FOUR_FOUR, barTick: 0, closes: false, mixes },
  )
    .map(({ stroke, exception }) => `${stroke}${exception ? '!' : ''}`)
    .join(' ');
}

describe('the cheapest mix of strokes', () => {
  it('leaves a roll as it is', () => {
    const roll = [4, 3, 2, 4, 3, 2, 4, 3];
    expect(strokes(roll, true)).toBe(strokes(roll, false));
  });

  it('turns the pick where a tune strikes one string twice running, and marks it', () => {
    // Source: Common practice, no source: a stroke that the tune forces against the rule is allowed and marked.
    expect(strokes([3, 3, 2, 1], false)).toBe('down down down up');
    expect(strokes([3, 3, 2, 1], true)).toBe('down up! down up');
  });

  it('leaves runs alternating', () => {
    expect(strokes([3, 3, 2, 2], true, true)).toBe('down up down up');
  });

  it('costs as little as the best of all mixes, tried one by one', () => {
    let mixed = 0;
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 4 }), { minLength: 1, maxLength: 9 }), (strings) => {
        const way = strokes(strings, false).split(' ');
        const cost = (of: readonly string[]) =>
          of.reduce((sum, stroke, i) => {
            const again = i > 0 && strings[i] === strings[i - 1] && stroke === of[i - 1];
            return (
              sum +
              (stroke === way[i]
                ? 0
                : i % 2 === 0
                  ? MIX_COSTS.againstTheWayOnBeat
                  : MIX_COSTS.againstTheWay) +
              (again ? MIX_COSTS.sameStringSameWay : 0)
            );
          }, 0);
        let least = Number.POSITIVE_INFINITY;
        for (let bits = 0; bits < 2 ** strings.length; bits++)
          least = Math.min(least, cost(strings.map((_, i) => ((bits >> i) & 1 ? 'up' : 'down'))));
        const found = strokes(strings, true).split(' ');
        const plain = found.map((stroke) => stroke.replace('!', ''));
        expect(cost(plain)).toBeCloseTo(least, 9);
        plain.forEach((stroke, i) => {
          expect(itemAt(found, i).endsWith('!')).toBe(stroke !== way[i]);
        });
        if (found.some((stroke) => stroke.endsWith('!'))) mixed += 1;
      }),
      { numRuns: 200, seed: 3 },
    );
    expect(mixed).toBeGreaterThan(20);
  });
});
