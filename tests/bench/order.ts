/**
 * The order of an evening against highs on the same model in the same run: equal cost, ratio of times. And the gap to
 * the proven bound of 40 songs after one second and after five. Exits 1 beyond the thresholds.
 */
import { readFileSync } from 'node:fs';
import { z } from 'zod';
import { itemAt, lastOf, randomFrom } from '../../lib/base';
import { EveningModel, orderInTurns, orderSet } from '../../lib/sets';
import { leastByIntegers } from '../outside/order-program';
import { eveningByChance } from '../unit/sets/evenings';
import { median, milliseconds, timesOf } from './measure';

const { order: most } = z
  .object({
    order: z.object({
      timesAsFastAsHighsAtLeast: z.number(),
      gapAfterOneSecondAtMost: z.number(),
      gapAfterFiveSecondsAtMost: z.number(),
    }),
  })
  .parse(JSON.parse(readFileSync(new URL('./thresholds.json', import.meta.url), 'utf8')));

let failed = 0;
function check(what: string, holds: boolean, value: string): void {
  if (!holds) failed += 1;
  console.log(`${holds ? 'holds ' : 'BEYOND'}  ${what}: ${value}`);
}

const SIZES = [8, 10, 12, 14];
const SEEDS = [1, 2, 3];
for (const size of SIZES) {
  const ours: number[] = [];
  const theirs: number[] = [];
  let equal = 0;
  for (const seed of SEEDS) {
    const evening = eveningByChance(size, randomFrom(1000 * size + seed));
    const answer = orderSet(evening);
    if (!answer.ok) throw new Error(answer.error.what);
    ours.push(median(await timesOf(5, () => orderSet(evening))));
    const other = await leastByIntegers(new EveningModel(evening).tables);
    theirs.push(other.milliseconds);
    if (Math.round(answer.value.total * 10) === other.cost && answer.value.exact) equal += 1;
  }
  ours.sort((a, b) => a - b);
  theirs.sort((a, b) => a - b);
  const times = median(theirs) / median(ours);
  check(`${size} songs, equal cost`, equal === SEEDS.length, `${equal} of ${SEEDS.length}`);
  check(
    `${size} songs, times as fast as highs`,
    times >= most.timesAsFastAsHighsAtLeast,
    `${times.toFixed(0)} (ours ${milliseconds(median(ours))}, highs ${milliseconds(median(theirs))}; at least ${most.timesAsFastAsHighsAtLeast})`,
  );
}

const MARKS = [1000, 5000];
const gaps = MARKS.map((): number[] => []);
const proven: string[] = [];
for (const seed of [1, 2, 3, 4, 5]) {
  const evening = eveningByChance(40, randomFrom(seed), seed % 2 === 0 ? { sets: [14, 13, 13] } : {});
  const turns = orderInTurns(evening, { effort: Number.POSITIVE_INFINITY });
  const start = performance.now();
  let gap = 1;
  let at = 0;
  for (;;) {
    const turn = turns.next(performance.now() - start >= lastOf(MARKS));
    const now = performance.now() - start;
    while (at < MARKS.length && now >= itemAt(MARKS, at)) itemAt(gaps, at++).push(gap);
    if (turn.done) {
      if (!turn.value.ok) throw new Error(turn.value.error.what);
      const { total, lowerBound, exact } = turn.value.value;
      gap = (total - lowerBound) / total;
      while (at < MARKS.length) itemAt(gaps, at++).push(gap);
      proven.push(exact ? `${(now / 1000).toFixed(1)} s` : 'not in five');
      break;
    }
    gap = (turn.value.total - turn.value.lowerBound) / turn.value.total;
  }
}
const worst = gaps.map((each) => Math.max(...each));
const percent = (value: number) => `${(100 * value).toFixed(1)} %`;
console.log(`40 songs, least cost proven after: ${proven.join(', ')}`);
check(
  '40 songs, gap after 1 s',
  itemAt(worst, 0) <= most.gapAfterOneSecondAtMost,
  `${itemAt(gaps, 0).map(percent).join(', ')} (at most ${percent(most.gapAfterOneSecondAtMost)})`,
);
check(
  '40 songs, gap after 5 s',
  itemAt(worst, 1) <= most.gapAfterFiveSecondsAtMost,
  `${itemAt(gaps, 1).map(percent).join(', ')} (at most ${percent(most.gapAfterFiveSecondsAtMost)})`,
);
process.exit(failed > 0 ? 1 : 0);
