import { itemAt } from '../base';

/**
 * Shares `count` turns in proportion to what each wants, nobody more than `most`: what one cannot take goes to the others in the
 * same proportion. Fractions are meant: nobody takes 3.4 turns, but the cost of 3 and of 4 is counted from there.
 */
export function fairShares(
  count: number,
  wants: readonly number[],
  most: readonly number[],
): readonly number[] {
  const shares = wants.map(() => 0);
  const isFull = wants.map((want, i) => want <= 0 || itemAt(most, i) <= 0);
  let left = count;
  for (;;) {
    const sum = wants.reduce((total, want, i) => (isFull[i] ? total : total + want), 0);
    if (sum === 0) return shares;
    const each = left / sum;
    const over = wants.findIndex((want, i) => !isFull[i] && each * want > itemAt(most, i));
    if (over < 0) return wants.map((want, i) => (isFull[i] ? itemAt(shares, i) : each * want));
    shares[over] = itemAt(most, over);
    isFull[over] = true;
    left -= itemAt(most, over);
  }
}

/**
 * What the k-th turn costs beyond the k−1 before it, k from 1, where n turns cost weight × (n − fair)²: whole points, and never falling in k. Turn 0
 * costs nothing.
 */
export function turnCosts(weight: number, fair: number, most: number): readonly number[] {
  return Array.from({ length: most + 1 }, (_, k) =>
    k === 0 ? 0 : Math.round(weight * (2 * k - 1 - 2 * fair)),
  );
}
