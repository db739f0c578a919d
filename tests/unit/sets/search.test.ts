import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt, randomFrom } from '@/lib/base';
import { WayBound } from '@/lib/sets/bound';
import { cheapestWay } from '@/lib/sets/exact';
import { type Ladder, ladderOf, orderOfWay, wayCost } from '@/lib/sets/ladder';
import { EveningModel, tableCost } from '@/lib/sets/model';
import { WaySearch } from '@/lib/sets/search';
import { eveningByChance, ordersOf } from './evenings';

/** Costs by chance, from quite alike to quite unlike, some below 0; a few steps as good as forbidden. */
const ladders = fc
  .record({
    size: fc.integer({ min: 1, max: 8 }),
    seed: fc.integer({ min: 1, max: 1e6 }),
    spread: fc.constantFrom(2, 20, 400),
    blocked: fc.constantFrom(0, 0.1, 0.3),
  })
  .map(({ size, seed, spread, blocked }): Ladder => {
    const random = randomFrom(seed);
    const cost = () => (random() < blocked ? 1e6 : Math.floor(random() * spread) - 1);
    return {
      size,
      start: Float64Array.from({ length: size }, cost),
      step: Float64Array.from({ length: Math.max(0, size - 1) * size * size }, cost),
      constant: 7,
      songs: Array.from({ length: size }, (_, i) => i),
      places: Array.from({ length: size }, (_, i) => i),
      held: new Map(),
    };
  });

const leastOfAll = (ladder: Ladder) =>
  Math.min(...[...ordersOf(ladder.songs)].map((way) => wayCost(ladder, way)));

describe('the cheapest way up a ladder', () => {
  it('is the least of all ways', () => {
    fc.assert(
      fc.property(ladders, (ladder) => {
        const { way, cost } = cheapestWay(ladder);
        expect(cost).toBe(leastOfAll(ladder));
        expect(wayCost(ladder, way)).toBe(cost);
        expect([...way].sort()).toEqual(ladder.songs);
      }),
      { numRuns: 60 },
    );
  });
});

describe('the search', () => {
  it('finds true ways, never one cheaper than there is', () => {
    fc.assert(
      fc.property(ladders, (ladder) => {
        const search = new WaySearch(ladder, randomFrom(3));
        for (let i = 0; i < 20; i++) search.again();
        expect(wayCost(ladder, search.best)).toBe(search.cost);
        expect([...search.best].sort()).toEqual(ladder.songs);
        expect(search.cost).toBeGreaterThanOrEqual(cheapestWay(ladder).cost);
      }),
      { numRuns: 60 },
    );
  });

  it('finds the cheapest way of small evenings', () => {
    for (let seed = 1; seed <= 12; seed++) {
      const ladder = ladderOf(new EveningModel(eveningByChance(9, randomFrom(seed))).tables, new Map());
      const search = new WaySearch(ladder, randomFrom(3));
      for (let i = 0; i < 200; i++) search.again();
      expect(search.cost).toBe(cheapestWay(ladder).cost);
    }
  });
});

describe('the bound', () => {
  it('never goes above the cheapest way, however good the way it is measured against', () => {
    fc.assert(
      fc.property(ladders, fc.integer({ min: 0, max: 40 }), (ladder, above) => {
        const { cost } = cheapestWay(ladder);
        const bound = new WayBound(ladder);
        for (let i = 0; i < 400 && !bound.done; i++) {
          bound.again(Math.min(cost + above, bound.found?.cost ?? Number.POSITIVE_INFINITY));
          expect(bound.bound).toBeLessThanOrEqual(cost);
          if (bound.found) expect(bound.found.cost).toBeGreaterThanOrEqual(cost);
        }
      }),
      { numRuns: 120 },
    );
  });

  it('comes up to the cheapest way in most evenings, and shows one where it was given a dearer', () => {
    let met = 0;
    for (let seed = 1; seed <= 12; seed++) {
      const ladder = ladderOf(new EveningModel(eveningByChance(11, randomFrom(seed))).tables, new Map());
      const { cost } = cheapestWay(ladder);
      const bound = new WayBound(ladder);
      let upper = cost + 30;
      for (let i = 0; i < 3000 && !bound.done; i++) {
        bound.again(upper);
        upper = Math.min(upper, bound.found?.cost ?? upper);
        expect(bound.bound).toBeLessThanOrEqual(cost);
      }
      if (bound.bound === cost && upper === cost) met += 1;
    }
    expect(met).toBeGreaterThanOrEqual(11);
  });
});

describe('a ladder', () => {
  it('costs what the tables cost, with what is held in its place', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 8 }),
        fc.integer({ min: 1, max: 1e6 }),
        fc.uniqueArray(fc.nat(7)),
        fc.uniqueArray(fc.nat(7)),
        (count, seed, heldSongs, heldPlaces) => {
          const cut = 1 + (seed % count);
          const sets = cut < count ? [cut, count - cut] : [count];
          const { tables } = new EveningModel(eveningByChance(count, randomFrom(seed), { sets }));
          const songs = heldSongs.filter((each) => each < count);
          const places = heldPlaces.filter((each) => each < count);
          const held = new Map(
            songs.slice(0, places.length).map((each, i) => [itemAt(places, i), each] as const),
          );
          const ladder = ladderOf(tables, held);
          const way = Array.from({ length: ladder.size }, (_, i) => i).reverse();
          const order = orderOfWay(ladder, way);
          for (const [place, each] of held) expect(order[place]).toBe(each);
          expect([...order].sort()).toEqual(Array.from({ length: count }, (_, i) => i));
          expect(wayCost(ladder, way)).toBe(tableCost(tables, order));
        },
      ),
      { numRuns: 100 },
    );
  });
});
