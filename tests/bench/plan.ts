import highsLoader from 'highs';
import { itemAt, randomFrom } from '../../lib/base';
import { fairShares, type PlanModel, type Relation, solve, turnCosts } from '../../lib/plan';
import { integerProgram } from '../outside/plan/integer-program';

/*
 * The plan's search: time and proof for 32, 96 and 960 bars and 3 to 10 players (a space every three bars), and the same models
 * given to a general integer solver where it can take them. Times are of this run, side by side.
 */

/** A model with the proportions of a song: passes of eight spaces, few free players who want turns, some room left open. */
function songLike(spaces: number, players: number): PlanModel {
  const random = randomFrom(spaces * 100 + players);
  const whole = (low: number, high: number) => low + Math.floor(random() * (high - low + 1));
  const choices = Array.from({ length: players + 1 }, (_, choice) => choice);
  const own = Array.from({ length: spaces }, () =>
    choices.map((choice) => (choice === 0 ? 0 : random() < 0.25 ? Number.POSITIVE_INFINITY : whole(-8, 14))),
  );
  const most = choices
    .slice(1)
    .map((choice) => own.filter((row) => Number.isFinite(itemAt(row, choice))).length);
  const open = spaces / 5;
  const fair = [
    open,
    ...fairShares(
      spaces - open,
      most.map(() => 1),
      most,
    ),
  ];
  return {
    players,
    own,
    relation: own.map((_, s): Relation => (s % 8 === 0 ? 2 : s % 8 === 4 ? 1 : 0)),
    after: [
      [12, 0],
      [3, 0],
      [0, 5],
    ].map(([change, keep]) =>
      choices.map((before) =>
        choices.map((holder) => (before === holder ? (keep ?? 0) : (change ?? 0) + ((before + holder) % 3))),
      ),
    ),
    turns: fair.map((share, choice) => turnCosts(choice === 0 ? 10 : 3, share, spaces)),
    uncounted: own.map(() => false),
    tooClose: own.map(() => choices.map(() => false)),
  };
}

const highs = await highsLoader();
let unequal = 0;
console.log('bars players spaces |  ours ms  total  bound exact opened | general solver ms  ratio');
for (const bars of [32, 96, 960]) {
  for (const players of [3, 5, 6, 10]) {
    const model = songLike(Math.round(bars / 3), players);
    const start = performance.now();
    const ours = solve(model);
    const time = performance.now() - start;
    let other = '';
    if (ours && model.own.length * players <= 200) {
      const from = performance.now();
      const answer = highs.solve(integerProgram(model), { mip_rel_gap: 0, mip_abs_gap: 0, time_limit: 60 });
      const theirs = performance.now() - from;
      other = `${theirs.toFixed(0)}  ${(theirs / time).toFixed(1)}`;
      if (answer.Status === 'Optimal' && ours.exact && Math.round(answer.ObjectiveValue) !== ours.total) {
        unequal += 1;
        other += ` UNEQUAL ${answer.ObjectiveValue}`;
      } else if (answer.Status !== 'Optimal') other += ` (${answer.Status})`;
    }
    console.log(
      `${bars} ${players} ${model.own.length} | ${time.toFixed(0)}  ${ours?.total} ${ours?.lowerBound} ${ours?.exact} ${ours?.opened} | ${other}`,
    );
  }
}
if (unequal > 0) process.exit(1);
