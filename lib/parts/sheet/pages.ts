import { itemAt } from '../../base';
import { type Block, TURN_COSTS } from './types';

/**
 * Cuts blocks into pages of a height: least cost of pages and page turns (`TURN_COSTS`), exact, by dynamic programming over the
 * last block of each page. A block that is higher than a page has one of its own. O(blocks × blocks of a page).
 *
 * @returns for each page the index of its first block
 */
export function pagesOf(blocks: readonly Block[], height: number): readonly number[] {
  const best: { cost: number; from: number }[] = [{ cost: 0, from: 0 }];
  for (let to = 1; to <= blocks.length; to++) {
    let filled = 0;
    let found = { cost: Number.POSITIVE_INFINITY, from: to - 1 };
    for (let from = to - 1; from >= 0; from--) {
      filled += itemAt(blocks, from).height;
      if (filled > height && from < to - 1) break;
      const turn = from === 0 ? 0 : itemAt(blocks, from - 1).turn;
      const cost = itemAt(best, from).cost + TURN_COSTS.page + turn;
      // Of two that cost the same, the fuller first pages.
      if (cost < found.cost) found = { cost, from };
    }
    best.push(found);
  }
  const starts: number[] = [];
  for (let to = blocks.length; to > 0; to = itemAt(best, to).from) starts.unshift(itemAt(best, to).from);
  return starts;
}
