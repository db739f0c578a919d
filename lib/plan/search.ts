import { itemAt } from '../base';
import { type Moves, movesOf } from './chain';
import { isTurn, type PlanModel, totalOf } from './model';
import { cheapestCount, type Priced, priceTurns, type TurnTotals, turnTotals } from './prices';

/** A plan as choices, how good it is, and what was proven. */
export interface Solved {
  readonly choices: readonly number[];
  readonly total: number;
  /** True: no plan costs less. */
  readonly exact: boolean;
  /** No plan costs less than this. */
  readonly lowerBound: number;
  /** How many states were opened. */
  readonly opened: number;
}

/** How many states a search opens at most; beyond it the answer is bounded. */
export const MOST_OPENED = 120_000;
/** How wide the first, quick pass is. */
const FIRST_WIDTH = 40;

interface Node {
  readonly state: number;
  readonly counts: Uint16Array;
  readonly cost: number;
  readonly bound: number;
  readonly choice: number;
  readonly parent: Node | null;
}

/**
 * The plan of least cost; null where no plan is allowed at all.
 *
 * Model: `PlanModel`. The search goes through the spaces in time order and keeps, of all ways to one state (who held last, how far
 * back, how many turns each has had), the cheapest: dynamic programming. A state is dropped where its cost so far and a bound on
 * the rest reach the best plan known. The bound: turns are priced (`priceTurns`), so the rest is a chain solved exactly beforehand, and each
 * choice's further turns are as many as are cheapest at its price. Exact if it ends within `mostOpened` states. Else each space keeps
 * only the states of least bound, and the least bound of what was let go is proven below every plan.
 */
export function solve(
  model: PlanModel,
  mostOpened: number = MOST_OPENED,
  firstWidth: number = FIRST_WIDTH,
): Solved | null {
  return new Search(model).solve(mostOpened, firstWidth);
}

/** A search that can be asked again with one choice ruled out, from the prices that it knows. */
export class Search {
  readonly #model: PlanModel;
  readonly #totals: TurnTotals;
  readonly #prices: ArrayLike<number> | null;
  #priced: Priced | null = null;

  constructor(model: PlanModel, prices: ArrayLike<number> | null = null) {
    this.#model = model;
    this.#totals = turnTotals(model);
    this.#prices = prices;
  }

  solve(mostOpened: number = MOST_OPENED, firstWidth: number = FIRST_WIDTH): Solved | null {
    const model = this.#model;
    const moves = movesOf(model);
    const priced = priceTurns(model, moves, this.#totals, this.#prices);
    this.#priced = priced;
    if (priced.bound === Number.POSITIVE_INFINITY) return null;
    let best: { choices: readonly number[]; total: number } | null =
      priced.best === null ? null : { choices: priced.best, total: priced.total };
    let opened = 0;
    let lowerBound = roundUp(priced.bound);
    const most = Math.max(firstWidth, Math.floor(mostOpened / Math.max(1, model.own.length)));
    for (const width of [firstWidth, most]) {
      if (best !== null && lowerBound >= best.total) break;
      const found = this.#layers(moves, priced, width, best?.total ?? Number.POSITIVE_INFINITY);
      opened += found.opened;
      if (found.choices) best = { choices: found.choices, total: totalOf(model, found.choices) };
      lowerBound = Math.max(lowerBound, Math.min(best?.total ?? Number.POSITIVE_INFINITY, found.letGo));
    }
    if (best === null) return null;
    return { ...best, exact: lowerBound >= best.total, lowerBound: Math.min(lowerBound, best.total), opened };
  }

  /** The best plan of the same model where one space's choice is not this one; null: there is none. */
  without(space: number, choice: number, mostOpened: number = MOST_OPENED): Solved | null {
    const own = this.#model.own.map((costs, at) =>
      at === space ? costs.map((cost, each) => (each === choice ? Number.POSITIVE_INFINITY : cost)) : costs,
    );
    return new Search({ ...this.#model, own }, this.#priced?.prices ?? null).solve(mostOpened);
  }

  /** One pass through the spaces, at most `width` states kept at each. `letGo`: the least bound of what was not kept. */
  #layers(moves: Moves, priced: Priced, width: number, below: number) {
    const model = this.#model;
    let layer: Node[] = [
      {
        state: 0,
        counts: new Uint16Array(model.players + 1),
        cost: 0,
        bound: priced.bound,
        choice: 0,
        parent: null,
      },
    ];
    let opened = 0;
    let letGo = Number.POSITIVE_INFINITY;
    const ahead = this.#ahead();
    for (let space = 0; space < model.own.length; space++) {
      const next = new Map<string, Node>();
      for (const node of layer) {
        opened += 1;
        for (let choice = 0; choice <= model.players; choice++) {
          const child = this.#child(node, space, choice, moves, priced, ahead);
          if (child === null || roundUp(child.bound) >= below) continue;
          const key = keyOf(child);
          const known = next.get(key);
          if (!known || child.cost < known.cost) next.set(key, child);
        }
      }
      layer = [...next.values()];
      if (layer.length > width) {
        layer.sort((a, b) => a.bound - b.bound || a.cost - b.cost);
        letGo = Math.min(letGo, roundUp(itemAt(layer, width).bound));
        layer.length = width;
      }
    }
    let end: Node | null = null;
    for (const node of layer) if (end === null || node.bound < end.bound) end = node;
    return { choices: end && wayTo(end), letGo, opened };
  }

  /** By space, then by choice: how many turns of it can come from that space on. */
  #ahead(): readonly Uint16Array[] {
    const model = this.#model;
    const ahead: Uint16Array[] = [new Uint16Array(model.players + 1)];
    for (let space = model.own.length - 1; space >= 0; space--) {
      const row = Uint16Array.from(itemAt(ahead, 0));
      itemAt(model.own, space).forEach((cost, choice) => {
        if (cost !== Number.POSITIVE_INFINITY && isTurn(model, space, choice))
          row[choice] = itemAt(row, choice) + 1;
      });
      ahead.unshift(row);
    }
    return ahead;
  }

  #child(
    node: Node,
    space: number,
    choice: number,
    moves: Moves,
    priced: Priced,
    ahead: readonly Uint16Array[],
  ): Node | null {
    const model = this.#model;
    const at = (space * moves.states + node.state) * moves.choices + choice;
    const move = itemAt(moves.cost, at);
    if (move === Number.POSITIVE_INFINITY) return null;
    const state = itemAt(moves.next, at);
    const cost = node.cost + move;
    let counts = node.counts;
    if (isTurn(model, space, choice)) {
      counts = Uint16Array.from(counts);
      counts[choice] = itemAt(counts, choice) + 1;
    }
    let bound = cost + itemAt(priced.least, (space + 1) * moves.states + state);
    if (bound === Number.POSITIVE_INFINITY) return null;
    const rest = itemAt(ahead, space + 1);
    for (let each = 0; each <= model.players; each++) {
      const had = itemAt(counts, each);
      const price = itemAt(priced.prices, each);
      const most = had + itemAt(rest, each);
      const count = cheapestCount(itemAt(model.turns, each), price, had, most);
      bound += itemAt(itemAt(this.#totals.total, each), count) - price * (count - had);
    }
    return { state, counts, cost, bound, choice, parent: node };
  }
}

/** All costs are whole points: a bound of 11.2 proves 12. */
function roundUp(bound: number): number {
  return Math.ceil(bound - 1e-6) + 0;
}

function keyOf({ state, counts }: Node): string {
  return String.fromCharCode(state, ...counts);
}

function wayTo(end: Node): readonly number[] {
  const choices: number[] = [];
  for (let node: Node | null = end; node?.parent; node = node.parent) choices.push(node.choice);
  return choices.reverse();
}
