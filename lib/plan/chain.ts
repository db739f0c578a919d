import { itemAt } from '../base';
import { further, isTurn, OPEN, type PlanModel, type Relation } from './model';

/**
 * What of the past matters to the next space: who held last, how far back, and whether directly before. State 0: nobody yet.
 * Directly before: `1 + 4·(holder − 1)`; else the relation (taken on to the next space) is added, from 1.
 */
export type State = number;

export const stateCount = (model: PlanModel): number => 1 + 4 * model.players;

/** The moves from each state of each space, as flat tables: where to, and what it costs beside turns. Infinity: not allowed. */
export interface Moves {
  readonly states: number;
  readonly choices: number;
  /** By `(space × states + state) × choices + choice`. */
  readonly cost: Float64Array;
  readonly next: Uint16Array;
}

export function movesOf(model: PlanModel): Moves {
  const states = stateCount(model);
  const choices = model.players + 1;
  const size = model.own.length * states * choices;
  const moves = { states, choices, cost: new Float64Array(size), next: new Uint16Array(size) };
  for (let space = 0; space < model.own.length; space++) {
    for (let state = 0; state < states; state++) {
      for (let choice = 0; choice < choices; choice++) {
        const at = (space * states + state) * choices + choice;
        moves.cost[at] = costOfMove(model, space, state, choice);
        moves.next[at] = nextState(model, space, state, choice);
      }
    }
  }
  return moves;
}

function lastOfState(model: PlanModel, space: number, state: State) {
  const holder = 1 + ((state - 1) >> 2);
  const age = (state - 1) & 3;
  const relation = age === 0 ? itemAt(model.relation, space) : relationOf(age - 1);
  return { holder, direct: age === 0, relation };
}

function relationOf(number: number): Relation {
  return number === 0 ? 0 : number === 1 ? 1 : 2;
}

function costOfMove(model: PlanModel, space: number, state: State, choice: number): number {
  const own = itemAt(itemAt(model.own, space), choice);
  if (choice === OPEN || state === 0) return own;
  const { holder, direct, relation } = lastOfState(model, space, state);
  if (direct && holder === choice && itemAt(itemAt(model.tooClose, space), choice))
    return Number.POSITIVE_INFINITY;
  return own + itemAt(itemAt(itemAt(model.after, relation), holder), choice);
}

function nextState(model: PlanModel, space: number, state: State, choice: number): State {
  if (choice !== OPEN) return 1 + 4 * (choice - 1);
  if (state === 0) return 0;
  const { holder, relation } = lastOfState(model, space, state);
  return 1 + 4 * (holder - 1) + 1 + further(relation, model.relation[space + 1] ?? 0);
}

/** The least cost from each space and state on, where each turn of a choice costs `prices[choice]`. By `space × states + state`. */
export function leastFrom(model: PlanModel, moves: Moves, prices: ArrayLike<number>): Float64Array {
  const { states, choices, cost, next } = moves;
  const least = new Float64Array((model.own.length + 1) * states);
  for (let space = model.own.length - 1; space >= 0; space--) {
    for (let state = 0; state < states; state++) {
      let best = Number.POSITIVE_INFINITY;
      const row = (space * states + state) * choices;
      for (let choice = 0; choice < choices; choice++) {
        const price = isTurn(model, space, choice) ? itemAt(prices, choice) : 0;
        const value =
          itemAt(cost, row + choice) +
          price +
          itemAt(least, (space + 1) * states + itemAt(next, row + choice));
        if (value < best) best = value;
      }
      least[space * states + state] = best;
    }
  }
  return least;
}

/** The choices of a plan of least cost under `prices`, by what `leastFrom` gave for them. */
export function choicesOf(
  model: PlanModel,
  moves: Moves,
  prices: ArrayLike<number>,
  least: Float64Array,
): number[] {
  const { states, choices, cost, next } = moves;
  const chosen: number[] = [];
  let state = 0;
  for (let space = 0; space < model.own.length; space++) {
    const row = (space * states + state) * choices;
    let best = 0;
    let bestValue = Number.POSITIVE_INFINITY;
    for (let choice = 0; choice < choices; choice++) {
      const price = isTurn(model, space, choice) ? itemAt(prices, choice) : 0;
      const value =
        itemAt(cost, row + choice) + price + itemAt(least, (space + 1) * states + itemAt(next, row + choice));
      if (value < bestValue) {
        bestValue = value;
        best = choice;
      }
    }
    chosen.push(best);
    state = itemAt(next, row + best);
  }
  return chosen;
}
