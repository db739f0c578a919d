import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pagesOf } from '@/lib/parts/sheet';

const block = (height: number, turn: number) => ({ height, turn, drawing: [], mark: null });

/** Every way of cutting, by trying them all: a thousand points a page, and the turn of each block that ends one. */
function bruteForce(blocks: readonly { height: number; turn: number }[], height: number): number {
  const from = (start: number): number => {
    if (start === blocks.length) return 0;
    let least = Number.POSITIVE_INFINITY;
    let filled = 0;
    for (let end = start + 1; end <= blocks.length; end++) {
      filled += blocks[end - 1]?.height ?? 0;
      if (filled > height && end > start + 1) break;
      const turn = end === blocks.length ? 0 : (blocks[end - 1]?.turn ?? 0);
      least = Math.min(least, 1000 + turn + from(end));
    }
    return least;
  };
  return from(0);
}

describe('pages', () => {
  it('cost as little as any way of cutting costs, and hold every block once', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 1, max: 60 }), fc.constantFrom(0, 10, 60, 400)), {
          maxLength: 11,
        }),
        fc.integer({ min: 40, max: 120 }),
        (raw, height) => {
          const blocks = raw.map(([tall, turn]) => block(tall, turn));
          const starts = pagesOf(blocks, height);
          if (blocks.length === 0) {
            expect(starts).toEqual([]);
            return;
          }
          expect(starts[0]).toBe(0);
          let cost = 0;
          starts.forEach((start, i) => {
            const end = starts[i + 1] ?? blocks.length;
            const page = blocks.slice(start, end);
            expect(page.length).toBeGreaterThan(0);
            const filled = page.reduce((sum, each) => sum + each.height, 0);
            expect(filled <= height || page.length === 1).toBe(true);
            cost += 1000 + (end === blocks.length ? 0 : (page[page.length - 1]?.turn ?? 0));
          });
          expect(cost).toBe(bruteForce(blocks, height));
        },
      ),
    );
  });

  it('turn between passes rather than while somebody plays', () => {
    const blocks = [block(40, 60), block(40, 0), block(40, 60), block(40, 0)];
    expect(pagesOf(blocks, 130)).toEqual([0, 2]);
  });
});
