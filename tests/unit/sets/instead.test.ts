import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt, randomFrom } from '@/lib/base';
import { EveningModel, nextBest } from '@/lib/sets';
import { eveningByChance, ordersOf } from './evenings';

/** One song taken out of both leaves the same, or exactly two places differ. */
function isOneChangeAway(a: readonly string[], b: readonly string[]): boolean {
  const without = (order: readonly string[], id: string) => order.filter((each) => each !== id).join();
  const places = a.filter((id, i) => id !== b[i]).length;
  return places === 2 || (places > 0 && a.some((id) => without(a, id) === without(b, id)));
}

describe('the next best for two neighbours', () => {
  it('is the cheapest of all orders one change away in which another song follows, what is held and joined kept', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 5 }), fc.nat(100_000), (count, seed) => {
        const free = eveningByChance(
          count,
          randomFrom(seed),
          count > 3 && seed % 2 === 0 ? { sets: [2, count - 2], joined: [['s2', 's3']] } : {},
        );
        const evening =
          seed % 3 === 0
            ? { ...free, songs: free.songs.map((one, i) => (i === 0 ? { ...one, place: 0 } : one)) }
            : free;
        const model = new EveningModel(evening);
        const order = evening.songs.map(({ id }) => id);
        const now = model.costsOf(order).total;
        const others = [...ordersOf(order)].filter((other) => {
          const kept = evening.songs.every(
            ({ id, place }) =>
              other.indexOf(id) === order.indexOf(id) || place === null || other.indexOf(id) === place,
          );
          const whole = evening.joined.every((medley) => other.join(' ').includes(medley.join(' ')));
          const inOneSet = evening.joined.every((medley) =>
            medley.slice(1).every((id) => !model.breakAfter[other.indexOf(id) - 1]),
          );
          return kept && whole && inOneSet && isOneChangeAway(order, other);
        });
        nextBest(model, order).forEach((instead, i) => {
          const id = itemAt(order, i);
          const costs = others
            .filter((other) => {
              const at = other.indexOf(id);
              const next = other[at + 1];
              return next !== undefined && next !== order[i + 1] && !model.breakAfter[at];
            })
            .map((other) => model.costsOf(other).total - now);
          if (costs.length === 0) expect(instead).toBeNull();
          else {
            expect(instead?.more).toBeCloseTo(Math.min(...costs), 6);
            const given = instead?.order ?? [];
            expect(model.costsOf(given).total - now).toBeCloseTo(instead?.more ?? 0, 6);
            expect(given[given.indexOf(id) + 1]).toBe(instead?.songId);
          }
        });
      }),
      { numRuns: 60 },
    );
  });
});
