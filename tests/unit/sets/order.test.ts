import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt, must, randomFrom } from '@/lib/base';
import { type Evening, EveningModel, EXACT_UP_TO, MOST_SONGS, type OrderAnswer, orderSet } from '@/lib/sets';
import { tableCost } from '@/lib/sets/model';
import { evening, eveningByChance, guitar, ordersOf, song } from './evenings';

function solved(wanted: Evening, options: Parameters<typeof orderSet>[1] = {}): OrderAnswer {
  const answer = orderSet(wanted, options);
  if (!answer.ok) throw new Error(`${answer.error.what}: ${answer.error.where}`);
  return answer.value;
}

const problem = (wanted: Evening) => {
  const answer = orderSet(wanted);
  return answer.ok ? null : answer.error;
};

/** Whether an order keeps what is held and what is joined; written apart from the solver. */
function keeps({ songs, joined, sets }: Evening, order: readonly string[]): boolean {
  const at = (id: string) => order.indexOf(id);
  const lasts = new Set<number>();
  sets.reduce((sum, count) => {
    lasts.add(sum + count - 1);
    return sum + count;
  }, 0);
  return (
    songs.every(({ id, place }) => place === null || at(id) === place) &&
    joined.every((medley) =>
      medley.every(
        (id, i) => i === 0 || (at(id) === at(itemAt(medley, i - 1)) + 1 && !lasts.has(at(id) - 1)),
      ),
    )
  );
}

/** The least total of all orders that keep what is held and joined; null where none does. Looks at each one. */
function leastOfAll(wanted: Evening): number | null {
  const model = new EveningModel(wanted);
  let least: number | null = null;
  for (const order of ordersOf(wanted.songs.map(({ id }) => id))) {
    if (!keeps(wanted, order)) continue;
    const { total } = model.costsOf(order);
    if (least === null || total < least) least = total;
  }
  return least;
}

/** Small evenings with all that a set file can ask for. */
const smallEvening = fc
  .record({
    count: fc.integer({ min: 1, max: 7 }),
    seed: fc.integer({ min: 1, max: 1e6 }),
    cut: fc.integer({ min: 1, max: 7 }),
    held: fc.array(fc.tuple(fc.nat(6), fc.nat(6)), { maxLength: 3 }),
    near: fc.array(fc.tuple(fc.nat(6), fc.nat(6)), { maxLength: 2 }),
    apart: fc.array(fc.tuple(fc.nat(6), fc.nat(6)), { maxLength: 2 }),
    medley: fc.option(fc.uniqueArray(fc.nat(6), { minLength: 2, maxLength: 3 })),
  })
  .map(({ count, seed, cut, held, near, apart, medley }): Evening => {
    const plain = eveningByChance(count, randomFrom(seed));
    const places = new Map(held.filter(([s, p]) => s < count && p < count));
    const used = new Set<number>();
    const songs = plain.songs.map((each, i) => {
      const place = places.get(i);
      if (place === undefined || used.has(place)) return each;
      used.add(place);
      return { ...each, place };
    });
    const pairs = (all: [number, number][]) =>
      all.filter(([a, b]) => a < count && b < count && a !== b).map(([a, b]) => [`s${a}`, `s${b}`] as const);
    const joined = medley?.every((i) => i < count) ? [medley.map((i) => `s${i}`)] : [];
    const sets = cut < count ? [cut, count - cut] : [count];
    return { ...plain, songs, sets, near: pairs(near), apart: pairs(apart), joined };
  });

describe('an order', () => {
  it('costs the least of all orders, whatever is held, joined, wanted near or apart', () => {
    fc.assert(
      fc.property(smallEvening, (wanted) => {
        const least = leastOfAll(wanted);
        const answer = orderSet(wanted);
        expect(answer.ok).toBe(least !== null);
        if (!answer.ok) return;
        expect(answer.value.total).toBe(least);
        expect(keeps(wanted, answer.value.order)).toBe(true);
        expect(answer.value).toMatchObject({ exact: true, lowerBound: least });
      }),
      { numRuns: 60 },
    );
  });

  it('has a total that is the sum of what is told, and is what the tables of the search say', () => {
    fc.assert(
      fc.property(smallEvening, (wanted) => {
        const model = new EveningModel(wanted);
        const order = wanted.songs.map(({ id }) => id);
        const { total, between, places, missed } = model.costsOf(order);
        const told = [...between, ...places].flatMap(({ reasons }) => reasons);
        const sum = [...told, ...missed].reduce((tenths, { weight }) => tenths + Math.round(weight * 10), 0);
        expect(Math.round(total * 10)).toBe(sum);
        const byTables = tableCost(
          model.tables,
          order.map((_, i) => i),
        );
        if (keeps({ ...wanted, songs: wanted.songs.map((each) => ({ ...each, place: null })) }, order)) {
          expect(byTables).toBe(sum);
        } else {
          expect(byTables).toBe(Number.POSITIVE_INFINITY);
        }
      }),
      { numRuns: 100 },
    );
  });

  it('holds every song once, and the same numbers give the same order', () => {
    for (const count of [1, 2, 3, 14, 22]) {
      const wanted = eveningByChance(count, randomFrom(count));
      const answer = solved(wanted, { effort: 40_000_000 });
      expect([...answer.order].sort()).toEqual(wanted.songs.map(({ id }) => id).sort());
      expect(solved(wanted, { effort: 40_000_000 })).toEqual(answer);
    }
  });
});

describe('beyond what is solved by subsets', () => {
  // The same songs, some of them held where the search put them: what is left is solved exactly and can be no better.
  it('proves a bound that the exact answer keeps', () => {
    for (const seed of [1, 2, 3]) {
      const wanted = eveningByChance(EXACT_UP_TO + 3, randomFrom(seed));
      const answer = solved(wanted);
      expect(answer.lowerBound).toBeLessThanOrEqual(answer.total);
      for (const held of [answer.order.slice(0, 4), answer.order.slice(-4), answer.order.slice(6, 10)]) {
        const songs = wanted.songs.map((each) =>
          held.includes(each.id) ? { ...each, place: answer.order.indexOf(each.id) } : each,
        );
        const part = solved({ ...wanted, songs });
        expect(part.exact).toBe(true);
        expect(part.total).toBeLessThanOrEqual(answer.total);
        expect(part.total).toBeGreaterThanOrEqual(answer.lowerBound);
      }
    }
  });

  it('tells how far it has come, and stops when told, with the best so far', () => {
    const wanted = eveningByChance(40, randomFrom(9), { sets: [14, 13, 13] });
    const signal = { aborted: false };
    const told: number[] = [];
    const answer = solved(wanted, {
      signal,
      progress: ({ total, lowerBound, share }) => {
        expect(lowerBound).toBeLessThanOrEqual(total);
        told.push(share);
        signal.aborted = told.length === 3;
      },
    });
    expect(told).toHaveLength(3);
    expect(answer.order).toHaveLength(40);
    expect(answer.total).toBe(new EveningModel(wanted).costsOf(answer.order).total);
    expect(answer.lowerBound).toBeLessThanOrEqual(answer.total);
  });

  it('keeps holds and medleys', () => {
    const plain = eveningByChance(24, randomFrom(5), { sets: [12, 12], joined: [['s3', 's7', 's1']] });
    const songs = plain.songs.map((each, i) => (i === 20 ? { ...each, place: 11 } : each));
    const wanted = { ...plain, songs };
    expect(keeps(wanted, solved(wanted, { effort: 100_000_000 }).order)).toBe(true);
  });
});

describe('what an order is judged by', () => {
  const order = (wanted: Evening) => solved(wanted).order;

  it('a capo is moved as seldom as can be', () => {
    const songs = [0, 2, 0, 2].map((capo, i) =>
      song(`s${i}`, { key: null, tempo: null, needs: [guitar(capo)] }),
    );
    const { between } = solved(evening(songs));
    expect(between.filter(({ steps }) => steps.length > 0)).toHaveLength(1);
  });

  it('one singer does not lead twice running where another can sing between', () => {
    const songs = ['ina', 'ina', 'tobe'].map((leadSinger, i) =>
      song(`s${i}`, { key: null, tempo: null, leadSinger }),
    );
    expect(order(evening(songs))[1]).toBe('s2');
  });

  it('the strongest song ends the evening, and a shaky one does not open it', () => {
    const songs = [5, 1, 4, 2].map((energy, i) => song(`s${i}`, { key: null, tempo: null, energy }));
    expect(order(evening(songs)).at(-1)).toBe('s0');
    const shaky = [song('a', { shaky: true }), song('b'), song('c')];
    expect(order(evening(shaky))[0]).not.toBe('a');
  });

  it('nothing between songs is counted across a break', () => {
    const songs = [song('a', { needs: [guitar(0)] }), song('b', { needs: [guitar(4)] })];
    expect(solved(evening(songs, { sets: [1, 1] })).total).toBe(0);
    expect(solved(evening(songs)).total).toBeGreaterThan(0);
  });

  it('songs that are all alike in strength cost nothing for it in any order', () => {
    const model = new EveningModel(evening(['a', 'b', 'c'].map((id) => song(id, { energy: 4 }))));
    expect(model.costsOf(['c', 'a', 'b']).places.every(({ cost }) => cost === 0)).toBe(true);
  });
});

describe('evenings that cannot be put in order', () => {
  const three = ['a', 'b', 'c'].map((id) => song(id));
  const many = Array.from({ length: MOST_SONGS + 1 }, (_, i) => song(`s${i}`));

  it.each<[string, Evening]>([
    ['no songs', evening([])],
    ['too many songs', evening(many)],
    ['two songs first', evening(three.map((each, i) => (i < 2 ? { ...each, place: 0 } : each)))],
    ['a place that is not there', evening(three.map((each, i) => (i === 1 ? { ...each, place: 7 } : each)))],
    ['a song that is not there', evening(three, { near: [['a', 'x']] })],
    ['a song apart from itself', evening(three, { apart: [['a', 'a']] })],
    [
      'a song in two medleys',
      evening(three, {
        joined: [
          ['a', 'b'],
          ['a', 'c'],
        ],
      }),
    ],
    [
      'a medley that bites its tail',
      evening(three, {
        joined: [
          ['a', 'b', 'c'],
          ['c', 'a'],
        ],
      }),
    ],
    ['sets that do not add up', evening(three, { sets: [1, 1] })],
    [
      'a medley torn by a hold',
      evening(
        three.map((each, i) => (i === 1 ? { ...each, place: 0 } : each)),
        { joined: [['a', 'b']] },
      ),
    ],
    ['a medley longer than any set', evening(three, { sets: [2, 1], joined: [['a', 'b', 'c']] })],
  ])('%s: says what, where and what mends it', (_, wanted) => {
    const said = must(problem(wanted), 'a problem');
    for (const text of [said.what, said.where, said.mend]) expect(text.length).toBeGreaterThan(2);
  });

  it('one song is an order', () => {
    expect(solved(evening([song('a')]))).toMatchObject({ order: ['a'], total: 0, between: [], exact: true });
  });

  it('200 songs are put in some order, and the bound is told', () => {
    const wanted = eveningByChance(200, randomFrom(2));
    const answer = solved(wanted, { effort: 1_000_000 });
    expect(new Set(answer.order).size).toBe(200);
    expect(answer.lowerBound).toBeLessThanOrEqual(answer.total);
  });
});
