import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rowStarts } from '@/lib/parts';

/** Every way to cut a line into rows, tried one by one. */
function* waysToCut(count: number, from = 0): Generator<readonly number[]> {
  if (from === count) yield [];
  for (let next = from + 1; next <= count; next++)
    for (const rest of waysToCut(count, next)) yield [from, ...rest];
}

function told(starts: readonly number[], widths: readonly number[], torn: ReadonlySet<number>) {
  const rows = starts.map((from, i) => widths.slice(from, starts[i + 1]));
  const lengths = rows.map((row) => row.reduce((sum, width) => sum + width, 0));
  return {
    tooWide: rows.some((row, i) => row.length > 1 && (lengths[i] ?? 0) > ROOM),
    // Least of these, the first weighing most.
    order: [
      rows.length,
      starts.slice(1).filter((at) => torn.has(at)).length,
      lengths.reduce((sum, length) => sum + length * length, 0),
    ],
  };
}

const ROOM = 100;
const inOrder = (a: readonly number[], b: readonly number[]): number => {
  const at = a.findIndex((each, i) => each !== b[i]);
  return at < 0 ? 0 : (a[at] ?? 0) - (b[at] ?? 0);
};

// Rule of the trade: a copyist fills as few systems as can be, evenly, and does not turn one in mid-figure; here by every cut tried.
describe('the rows of a line', () => {
  it('are as good as the best of all cuts', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 5, max: 130 }), { minLength: 1, maxLength: 9 }),
        fc.uniqueArray(fc.integer({ min: 1, max: 8 })),
        (widths, cut) => {
          const torn = new Set(cut);
          const starts = rowStarts(widths, ROOM, (at) => torn.has(at));
          const found = told(starts, widths, torn);
          expect(found.tooWide).toBe(false);
          const least = [...waysToCut(widths.length)]
            .map((way) => told(way, widths, torn))
            .filter((one) => !one.tooWide)
            .map((one) => one.order)
            .sort(inOrder)[0];
          expect(found.order).toEqual(least);
        },
      ),
    );
  });

  it('leave no last beat of a fill to a row of its own', () => {
    // Two bars of words, one of a held word with the fill, and the fill's end: two rows of two, not a third for the end.
    expect(rowStarts([75, 75, 160, 35], 340, (at) => at === 3)).toEqual([0, 2]);
  });

  it('are one where all goes into one, and each bar its own where none goes beside another', () => {
    expect(rowStarts([30, 30, 30], 90, () => false)).toEqual([0]);
    expect(rowStarts([60, 60, 200], 90, () => false)).toEqual([0, 1, 2]);
    expect(rowStarts([], 90, () => false)).toEqual([0]);
  });
});
