import { itemAt, type Random } from '../../../lib/base';
import { OPEN, type PlanModel, type Relation } from '../../../lib/plan';

/** A model as a song might give it: whole costs, some choices not allowed, some spaces too close, fair shares that are not whole. */
export function randomModel(random: Random, spaces: number, players: number): PlanModel {
  const whole = (low: number, high: number) => low + Math.floor(random() * (high - low + 1));
  const choices = Array.from({ length: players + 1 }, (_, choice) => choice);
  const relation = Array.from({ length: spaces }, (): Relation => {
    const chance = random();
    return chance < 0.6 ? 0 : chance < 0.75 ? 1 : 2;
  });
  return {
    players,
    own: relation.map(() => {
      const row = choices.map((choice) =>
        choice !== OPEN && random() < 0.2 ? Number.POSITIVE_INFINITY : whole(-10, 15),
      );
      if (random() < 0.1) {
        const fixed = whole(0, players);
        return row.map((_, choice) => (choice === fixed ? whole(-5, 5) : Number.POSITIVE_INFINITY));
      }
      return row;
    }),
    relation,
    after: [0, 1, 2].map(() => choices.map(() => choices.map(() => whole(0, 14)))),
    turns: choices.map(() => {
      const fair = random() * (spaces / (players + 1)) * 2;
      const weight = whole(1, 5);
      return Array.from({ length: spaces + 1 }, (_, k) =>
        k === 0 ? 0 : Math.round(weight * (2 * k - 1 - 2 * fair)),
      );
    }),
    uncounted: relation.map(() => random() < 0.1),
    tooClose: relation.map(() => choices.map((choice) => choice !== OPEN && random() < 0.15)),
  };
}

/** Least cost by trying every plan. Shares nothing with the search but the model's own terms. */
export function bruteForce(model: PlanModel): number {
  let best = Number.POSITIVE_INFINITY;
  const spaces = model.own.length;
  const walk = (
    space: number,
    cost: number,
    held: readonly { readonly space: number; readonly holder: number }[],
    counts: readonly number[],
  ): void => {
    if (space === spaces) {
      best = Math.min(best, cost);
      return;
    }
    for (let choice = 0; choice <= model.players; choice++) {
      const own = itemAt(itemAt(model.own, space), choice);
      if (own === Number.POSITIVE_INFINITY) continue;
      let more = own;
      const last = held.at(-1);
      if (choice !== OPEN && last) {
        if (last.space === space - 1 && last.holder === choice && model.tooClose[space]?.[choice]) continue;
        const way = Math.max(...model.relation.slice(last.space + 1, space + 1));
        more += itemAt(itemAt(itemAt(model.after, way), last.holder), choice);
      }
      const turn = choice !== OPEN || !itemAt(model.uncounted, space);
      const now = counts.map((count, each) => (turn && each === choice ? count + 1 : count));
      if (turn) more += itemAt(itemAt(model.turns, choice), itemAt(now, choice));
      walk(space + 1, cost + more, choice === OPEN ? held : [...held, { space, holder: choice }], now);
    }
  };
  walk(
    0,
    0,
    [],
    Array.from({ length: model.players + 1 }, () => 0),
  );
  return best;
}
