import { itemAt } from '../base';
import { choicesOf, leastFrom, type Moves } from './chain';
import { isTurn, type PlanModel, totalOf } from './model';

/** The turns of one choice: `total[n]` is what n turns cost together, n from 0. */
export interface TurnTotals {
  readonly total: readonly (readonly number[])[];
}

export function turnTotals(model: PlanModel): TurnTotals {
  const total = model.turns.map((turns) => {
    const sums = [0];
    for (let k = 1; k <= model.own.length; k++) sums.push(itemAt(sums, k - 1) + (turns[k] ?? 0));
    return sums;
  });
  return { total };
}

/**
 * How many turns of a choice are cheapest where each brings its price back, from `from` to `to` of them. The turns' costs never
 * fall, so it is the last turn that costs no more than its price. O(log n).
 */
export function cheapestCount(turns: readonly number[], price: number, from: number, to: number): number {
  let low = from;
  let high = to;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((turns[middle] ?? 0) <= price) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** Prices of turns, the bound that they prove, and the best plan met on the way. */
export interface Priced {
  readonly prices: Float64Array;
  readonly least: Float64Array;
  readonly bound: number;
  /** Null: none was allowed. */
  readonly best: readonly number[] | null;
  readonly total: number;
}

/** How many times prices are set anew; and how many without a better bound until steps are halved. Ours, by trial. */
const ROUNDS = 160;
const PATIENCE = 6;

/**
 * Prices for turns that make the bound high. With a price on each turn the spaces are a chain that is solved exactly; that least
 * cost, less what the prices took beyond the turns' own cost, is below every plan's cost whatever the prices (Lagrangian
 * relaxation of 'turns taken are turns counted'). Prices rise for whoever takes more turns in the chain than is cheapest, and fall for the rest.
 */
export function priceTurns(
  model: PlanModel,
  moves: Moves,
  totals: TurnTotals,
  from: ArrayLike<number> | null,
): Priced {
  const size = model.players + 1;
  let prices = Float64Array.from({ length: size }, (_, choice) => from?.[choice] ?? 0);
  let bound = Number.NEGATIVE_INFINITY;
  let kept = { prices, least: leastFrom(model, moves, prices) };
  let best: readonly number[] | null = null;
  let total = Number.POSITIVE_INFINITY;
  let step = 1;
  let waited = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const least = leastFrom(model, moves, prices);
    const chosen = choicesOf(model, moves, prices, least);
    const cost = totalOf(model, chosen);
    if (cost < total) {
      total = cost;
      best = chosen;
    }
    const slope = Float64Array.from({ length: size }, () => 0);
    chosen.forEach((choice, space) => {
      if (isTurn(model, space, choice)) slope[choice] = itemAt(slope, choice) + 1;
    });
    let value = itemAt(least, 0);
    for (let choice = 0; choice < size; choice++) {
      const turns = itemAt(model.turns, choice);
      const count = cheapestCount(turns, itemAt(prices, choice), 0, model.own.length);
      value += itemAt(itemAt(totals.total, choice), count) - itemAt(prices, choice) * count;
      slope[choice] = itemAt(slope, choice) - count;
    }
    if (value > bound + 1e-9) {
      bound = value;
      kept = { prices, least };
      waited = 0;
    } else {
      waited += 1;
      if (waited >= PATIENCE) {
        step /= 2;
        waited = 0;
      }
    }
    const square = slope.reduce((sum, each) => sum + each * each, 0);
    if (square === 0 || total - bound < 1e-9) break;
    const length = (step * Math.max(1, (Number.isFinite(total) ? total : value + 100) - value)) / square;
    const base = waited === 0 ? kept.prices : prices;
    prices = Float64Array.from(slope, (each, choice) => itemAt(base, choice) + length * each);
  }
  return { ...kept, bound, best, total };
}
