import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { must, randomFrom } from '@/lib/base';
import { CUT_WORTH, compareOrders, cutSeconds, EveningModel, holdAt, orderSet } from '@/lib/sets';
import { evening, eveningByChance, ordersOf, song } from './evenings';

const ids = (model: EveningModel) => model.evening.songs.map(({ id }) => id);

/** The running time and the neighbours' cost of part of an order, from the songs' own values. */
function partOf(model: EveningModel, parts: readonly (readonly string[])[]) {
  let seconds = 0;
  let cost = 0;
  for (const part of parts) {
    part.forEach((id, i) => {
      const each = model.song(id);
      seconds += each.seconds;
      const before = part[i - 1];
      if (before === undefined) seconds += each.talkSeconds;
      else {
        seconds += model.transition(model.song(before), each).seconds;
        cost += model.betweenCost(model.song(before), each);
      }
    });
  }
  return { seconds, cost };
}

describe('cutting', () => {
  it('leaves out fewest songs, and of those choices the one that loses least', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 9 }),
        fc.integer({ min: 1, max: 1e6 }),
        fc.integer({ min: 0, max: 1500 }),
        fc.uniqueArray(fc.nat(8), { maxLength: 3 }),
        (count, seed, seconds, held) => {
          const first = 1 + (seed % count);
          const sets = first < count ? [first, count - first] : [count];
          const plain = eveningByChance(count, randomFrom(seed), { sets });
          const songs = plain.songs.map((each, i) => (held.includes(i) ? { ...each, place: i } : each));
          const model = new EveningModel({ ...plain, songs });
          const order = ids(model);
          const whole = partOf(model, [order.slice(0, first), order.slice(first)]);
          let best: { cuts: number; lost: number } | null = null;
          for (let mask = 0; mask < 2 ** count; mask++) {
            const stays = (i: number) => !(mask & (1 << i));
            if (held.some((i) => i < count && !stays(i))) continue;
            const parts = [order.slice(0, first), order.slice(first)].map((part) =>
              part.filter((id) => stays(order.indexOf(id))),
            );
            if (parts.some((part, i) => part.length === 0 && i < sets.length)) continue;
            const left = partOf(model, parts);
            const saved = whole.seconds - left.seconds;
            if (saved < seconds - 1e-6) continue;
            const gone = songs.filter((_, i) => !stays(i));
            const worth = gone.reduce(
              (sum, { energy, shaky }) =>
                sum + (energy ?? 3) * CUT_WORTH.energy * (shaky ? CUT_WORTH.shakyShare : 1),
              0,
            );
            const lost = worth + left.cost - whole.cost + saved - seconds;
            const better =
              best === null || gone.length < best.cuts || (gone.length === best.cuts && lost < best.lost);
            if (better) best = { cuts: gone.length, lost };
          }
          const answer = cutSeconds(model, order, seconds);
          expect(answer.ok).toBe(best !== null);
          if (!answer.ok || best === null) return;
          expect(answer.value.cut).toHaveLength(best.cuts);
          expect(answer.value.lost).toBeCloseTo(best.lost, 6);
          expect(answer.value.order).toEqual(order.filter((id) => !answer.value.cut.includes(id)));
          const cutAt = answer.value.sets[0] ?? 0;
          const left = partOf(model, [answer.value.order.slice(0, cutAt), answer.value.order.slice(cutAt)]);
          expect(answer.value.savedSeconds).toBeCloseTo(whole.seconds - left.seconds, 6);
        },
      ),
      { numRuns: 150 },
    );
  });

  it('takes a song that is shaky, and not one that is held or in a medley', () => {
    const songs = ['a', 'b', 'c', 'd', 'e'].map((id) => song(id, { shaky: id === 'b' || id === 'd' }));
    const wanted = evening(
      songs.map((each) => (each.id === 'b' ? { ...each, place: 1 } : each)),
      { joined: [['c', 'd']] },
    );
    const cut = cutSeconds(new EveningModel(wanted), ['a', 'b', 'c', 'd', 'e'], 60);
    expect(cut.ok && ['a', 'e']).toContainEqual(cut.ok ? cut.value.cut[0] : null);
  });

  it.each([[Number.NaN], [-1], [1e9]])('says why %s seconds cannot be cut', (seconds) => {
    const answer = cutSeconds(new EveningModel(evening([song('a'), song('b')])), ['a', 'b'], seconds);
    expect(answer.ok).toBe(false);
    if (!answer.ok) expect(answer.error.mend.length).toBeGreaterThan(3);
  });

  it('cuts twelve minutes of forty songs', () => {
    const model = new EveningModel(eveningByChance(40, randomFrom(4), { sets: [20, 20] }));
    const cut = cutSeconds(model, ids(model), 720);
    expect(cut.ok && cut.value.savedSeconds).toBeGreaterThanOrEqual(720);
    expect(cut.ok && cut.value.cut.length).toBeLessThanOrEqual(4);
  });
});

describe('two orders beside one another', () => {
  it('differ by as much as their rules, and by as few moves as can be', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 6 }), fc.integer({ min: 1, max: 1e6 }), (count, seed) => {
        const random = randomFrom(seed);
        const model = new EveningModel(eveningByChance(count, random));
        const first = ids(model);
        const all = [...ordersOf(first)];
        const second = must(all[Math.floor(random() * all.length)], 'an order');
        const { before, after, differences, moved } = compareOrders(model, first, second);
        const sum = differences.reduce((tenths, { weight }) => tenths + Math.round(weight * 10), 0);
        expect(sum).toBe(Math.round(after.total * 10) - Math.round(before.total * 10));
        // The fewest: no smaller set of songs, taken out of both, leaves the same order.
        const fewest = Math.min(
          ...Array.from({ length: 2 ** count }, (_, mask) => {
            const out = first.filter((__, i) => mask & (1 << i));
            const rest = (order: readonly string[]) => order.filter((id) => !out.includes(id)).join();
            return rest(first) === rest(second) ? out.length : count;
          }),
        );
        expect(moved).toHaveLength(fewest);
      }),
      { numRuns: 60 },
    );
  });

  it('hold some, solve again: they stay, and it costs no less', () => {
    const wanted = eveningByChance(12, randomFrom(8));
    const order = wanted.songs.map(({ id }) => id);
    const free = orderSet(wanted);
    const held = orderSet(holdAt(wanted, order, ['s2', 's9']));
    if (!free.ok || !held.ok) throw new Error('no order');
    expect(held.value.order[2]).toBe('s2');
    expect(held.value.order[9]).toBe('s9');
    expect(held.value.total).toBeGreaterThanOrEqual(free.value.total);
  });
});
