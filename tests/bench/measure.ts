import { itemAt } from '../../lib/base';

/** Milliseconds of each of some runs, after as many to warm up. */
export async function timesOf(
  runs: number,
  work: () => unknown | Promise<unknown>,
): Promise<readonly number[]> {
  for (let i = 0; i < Math.min(runs, 5); i++) await work();
  const times: number[] = [];
  for (let i = 0; i < runs; i++) {
    const start = performance.now();
    await work();
    times.push(performance.now() - start);
  }
  return times.sort((a, b) => a - b);
}

/** The run that other work on the machine disturbed least: what growth is told by. */
export const fastest = (sorted: readonly number[]): number => itemAt(sorted, 0);
export const median = (sorted: readonly number[]): number => itemAt(sorted, Math.floor(sorted.length / 2));
export const percentile = (sorted: readonly number[], share: number): number =>
  itemAt(sorted, Math.min(sorted.length - 1, Math.floor(sorted.length * share)));
export const milliseconds = (value: number): string =>
  `${value < 10 ? value.toFixed(2) : value.toFixed(1)} ms`;
