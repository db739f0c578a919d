import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../lib/base';
import { Search, solve, totalOf } from '../../../lib/plan';
import { bruteForce, randomModel } from './random-models';

const small = fc.record({
  seed: fc.integer({ min: 1, max: 2 ** 31 }),
  spaces: fc.integer({ min: 1, max: 6 }),
  players: fc.integer({ min: 1, max: 3 }),
});
const modelOf = ({ seed, spaces, players }: { seed: number; spaces: number; players: number }) =>
  randomModel(randomFrom(seed), spaces, players);

describe('solve', () => {
  it('costs what the best of all plans costs, and proves it', () => {
    fc.assert(
      fc.property(small, (size) => {
        const model = modelOf(size);
        const least = bruteForce(model);
        const solved = solve(model);
        if (solved === null) {
          expect(least).toBe(Number.POSITIVE_INFINITY);
          return;
        }
        expect(solved.total).toBe(least);
        expect(totalOf(model, solved.choices)).toBe(least);
        expect(solved.exact).toBe(true);
        expect(solved.lowerBound).toBe(least);
      }),
      { numRuns: 300 },
    );
  });

  it('cut short, still gives an allowed plan and a bound that is below the least cost', () => {
    fc.assert(
      fc.property(small, (size) => {
        const model = modelOf(size);
        const least = bruteForce(model);
        const solved = solve(model, 1, 1);
        if (solved === null) {
          expect(least).toBe(Number.POSITIVE_INFINITY);
          return;
        }
        expect(totalOf(model, solved.choices)).toBe(solved.total);
        expect(solved.lowerBound).toBeLessThanOrEqual(least);
        expect(solved.total).toBeGreaterThanOrEqual(least);
        if (solved.exact) expect(solved.total).toBe(least);
      }),
      { numRuns: 200 },
    );
  });

  it('tells truly what a plan without one choice would cost', () => {
    fc.assert(
      fc.property(small, (size) => {
        const model = modelOf(size);
        const search = new Search(model);
        const solved = search.solve();
        if (solved === null) return;
        const space = size.seed % model.own.length;
        const choice = solved.choices[space] ?? 0;
        const own = model.own.map((row, s) =>
          row.map((cost, c) => (s === space && c === choice ? Number.POSITIVE_INFINITY : cost)),
        );
        const least = bruteForce({ ...model, own });
        expect(search.without(space, choice)?.total ?? Number.POSITIVE_INFINITY).toBe(least);
      }),
      { numRuns: 100 },
    );
  });

  it('gives the same plan for the same model', () => {
    const model = randomModel(randomFrom(7), 40, 5);
    expect(solve(model)).toEqual(solve(model));
  });
});
