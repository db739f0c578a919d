import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deepFreeze, fail, itemAt, lastOf, makeIds, must, ok, randomFrom } from '../../../lib/base';

describe('base', () => {
  it('gives the same numbers for the same seed, in [0, 1)', () => {
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        const [a, b] = [randomFrom(seed), randomFrom(seed)];
        for (let i = 0; i < 20; i++) {
          const number = a();
          expect(number).toBe(b());
          expect(number).toBeGreaterThanOrEqual(0);
          expect(number).toBeLessThan(1);
        }
      }),
    );
  });

  it('spreads its numbers evenly enough', () => {
    const random = randomFrom(7);
    const counts = new Array<number>(10).fill(0);
    for (let i = 0; i < 10_000; i++) {
      const bin = Math.floor(random() * 10);
      counts[bin] = itemAt(counts, bin) + 1;
    }
    for (const count of counts) expect(Math.abs(count - 1000)).toBeLessThan(150);
  });

  it('makes ids that do not repeat and are safe in addresses', () => {
    const make = makeIds(randomFrom(1));
    const ids = Array.from({ length: 5000 }, make);
    expect(new Set(ids).size).toBe(5000);
    for (const id of ids) expect(id).toMatch(/^[0-9A-Za-z]{14}$/);
  });

  it('fails loudly where only a mistake of ours can be the cause', () => {
    expect(() => itemAt([1, 2], 2)).toThrow('no item 2 of 2');
    expect(() => lastOf([])).toThrow();
    expect(() => must(null, 'the thing')).toThrow('missing: the thing');
    expect(must(0, 'zero')).toBe(0);
  });

  it('carries failure as a value', () => {
    expect(ok(3)).toEqual({ ok: true, value: 3 });
    expect(fail('a', 'b', 'c')).toEqual({ ok: false, error: { what: 'a', where: 'b', mend: 'c' } });
  });

  it('freezes all the way down', () => {
    const value = deepFreeze({ a: [{ b: 1 }] });
    expect(() => {
      itemAt(value.a, 0).b = 2;
    }).toThrow();
  });
});
