import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { asBefore, sameValue } from '../../../lib/base';

/** Plain values as documents hold them. */
const values = fc.jsonValue({ maxDepth: 4 });

describe('sameValue', () => {
  it('says of a copy that it is the same', () => {
    fc.assert(
      fc.property(values, (value) => {
        expect(sameValue(value, structuredClone(value))).toBe(true);
      }),
    );
  });

  // Reference library: node:util, `isDeepStrictEqual`; of 0 and -0, and of a hole in an object, it says the same as `Object.is`.
  it('says of any two plain values what the platform says', () => {
    fc.assert(
      fc.property(values, values, (one, other) => {
        expect(sameValue(one, other)).toBe(isDeepStrictEqual(one, other));
      }),
    );
  });

  it('sees a difference anywhere inside', () => {
    fc.assert(
      fc.property(fc.array(fc.dictionary(fc.string(), values), { minLength: 1 }), fc.nat(), (list, n) => {
        const at = n % list.length;
        const other = list.map((one, i) => (i === at ? { ...one, '+': 'more' } : one));
        const isMore = list[at]?.['+'] !== 'more';
        expect(sameValue(list, other)).toBe(!isMore);
      }),
    );
  });

  it.each([
    ['a list and an object', [], {}],
    ['nothing and an object', null, {}],
    ['what is left out and what is undefined', {}, { a: undefined }],
    ['another name of the same value', { a: 1 }, { b: 1 }],
    ['a list that goes on', [1], [1, 2]],
    ['a name that objects have anyway', { toString: undefined }, { other: undefined }],
  ])('tells apart %s', (_, one, other) => {
    expect(sameValue(one, other)).toBe(false);
    expect(sameValue(other, one)).toBe(false);
  });
});

describe('asBefore', () => {
  it('keeps the very object that says the same, and takes what does not', () => {
    const before = { words: ['river'], at: 3 };
    expect(asBefore(before, { words: ['river'], at: 3 })).toBe(before);
    const now = { words: ['river'], at: 4 };
    expect(asBefore(before, now)).toBe(now);
    expect(asBefore(undefined, now)).toBe(now);
  });
});
