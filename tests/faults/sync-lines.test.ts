import { expect, it } from 'vitest';
import { lines } from './suites/sync';

it('on bad lines nothing that was called kept is lost, all pages come to the same, and nothing is left', async () => {
  const faults: string[] = [];
  let kept = 0;
  await lines.run(11, {
    kill: () => {},
    kept: (count) => {
      kept += count;
    },
    lost: (count, what) => {
      if (count > 0) faults.push(what);
    },
    wrong: (what) => faults.push(what),
    count: () => {},
    most: () => {},
  });
  expect(faults).toEqual([]);
  expect(kept).toBeGreaterThan(50);
});
