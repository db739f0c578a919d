import { itemAt } from '../base';
import { TAP_COSTS as COSTS } from './costs';
import { costOfTapsPassed, gauss, placeCost, type Scene, stepCost, timingCost } from './scene';

/** Costs are read in the innermost loops: typed, so that they stay quick. */
export const costAt = (costs: Float64Array, state: number): number => costs[state] ?? Infinity;
const stateAt = (states: Int32Array, state: number): number => states[state] ?? -1;

/** From tap to tap the lean wanders by so many levels at most. */
const MOST_WANDER = 4;

/** One tap for one event: a cost for each place and lean, and where it came from. */
export interface Cell {
  readonly tap: number;
  readonly event: number;
  /** Indexes of the places that are near enough. */
  readonly places: readonly number[];
  /** By place and lean: `place * leans + lean`. */
  readonly cost: Float64Array;
  /** The state of the cell before; -1: this is the first. */
  readonly from: Int32Array;
  readonly before: (Cell | null)[];
}

/** A chosen tap of the best way. */
export interface Chosen {
  readonly cell: Cell;
  readonly place: number;
  readonly lean: number;
}

/** Costs of a cell after the lean has wandered from its tap to a later one: the least over the leans it had. */
export interface Wandered {
  readonly cost: Float64Array;
  readonly from: Int32Array;
}

function wander(scene: Scene, cell: Cell, seconds: number): Wandered {
  const { leans } = scene.model;
  const count = leans.length;
  const spread = COSTS.wander * Math.sqrt(Math.max(seconds, 0.05));
  const steps = new Float64Array(count * count);
  leans.forEach((to, o) => {
    leans.forEach((from, was) => {
      steps[o * count + was] = gauss(to - from, spread);
    });
  });
  const cost = new Float64Array(cell.cost.length).fill(Infinity);
  const from = new Int32Array(cell.cost.length).fill(-1);
  for (let p = 0; p < cell.places.length; p++) {
    for (let o = 0; o < count; o++) {
      let least = Infinity;
      const last = Math.min(count - 1, o + MOST_WANDER);
      for (let was = Math.max(0, o - MOST_WANDER); was <= last; was++) {
        const sum = costAt(cell.cost, p * count + was) + costAt(steps, o * count + was);
        if (sum >= least) continue;
        least = sum;
        from[p * count + o] = p * count + was;
      }
      cost[p * count + o] = least;
    }
  }
  return { cost, from };
}

export function cellOf(
  scene: Scene,
  cells: readonly (readonly (Cell | null)[])[],
  wandered: Map<Cell, Wandered>,
  tap: number,
  event: number,
): Cell | null {
  const { leans, skips } = scene.model;
  const places = itemAt(scene.near, tap);
  if (places.length === 0) return null;
  const { downSeconds } = itemAt(scene.input.taps, tap);
  const size = places.length * leans.length;
  const cell: Cell = {
    tap,
    event,
    places,
    cost: new Float64Array(size).fill(Infinity),
    from: new Int32Array(size).fill(-1),
    before: Array.from({ length: size }, () => null),
  };
  const isFirst = tap <= skips && event <= skips;
  const begin = isFirst ? costOfTapsPassed(scene, 0, tap) + event * COSTS.missed : Infinity;
  if (isFirst)
    for (let state = 0; state < size; state++)
      cell.cost[state] = begin + gauss(itemAt(leans, state % leans.length) - COSTS.lean, COSTS.leanSpread);
  for (let back = 1; back <= skips + 1; back++) {
    for (let down = 1; down <= (back === 1 ? skips + 1 : 1); down++) {
      const from = cells[tap - back]?.[event - down];
      if (!from) continue;
      const since = downSeconds - itemAt(scene.input.taps, tap - back).downSeconds;
      const moved = wandered.get(from) ?? wander(scene, from, since);
      wandered.set(from, moved);
      const passed = costOfTapsPassed(scene, tap - back + 1, tap) + (down - 1) * COSTS.missed;
      extend(scene, cell, from, moved, passed, down === 1);
    }
  }
  for (let p = 0; p < places.length; p++) {
    const place = itemAt(places, p);
    const own = placeCost(scene, event, place);
    const late = downSeconds - itemAt(scene.places, place).seconds;
    for (let o = 0; o < leans.length; o++) {
      const state = p * leans.length + o;
      cell.cost[state] = costAt(cell.cost, state) + own + timingCost(late - itemAt(leans, o), scene.spread);
    }
  }
  return cell;
}

/** Takes into a cell what comes to it from one before. */
function extend(
  scene: Scene,
  cell: Cell,
  from: Cell,
  moved: Wandered,
  passed: number,
  isNext: boolean,
): void {
  const count = scene.model.leans.length;
  cell.places.forEach((place, p) => {
    from.places.forEach((was, q) => {
      if (was >= place) return;
      const step = passed + (isNext ? stepCost(scene, cell.event, was, place) : 0);
      for (let o = 0; o < count; o++) {
        const sum = costAt(moved.cost, q * count + o) + step;
        const state = p * count + o;
        if (sum >= costAt(cell.cost, state)) continue;
        cell.cost[state] = sum;
        cell.from[state] = stateAt(moved.from, q * count + o);
        cell.before[state] = from;
      }
    });
  });
}

export function wayTo(end: { readonly cell: Cell; readonly state: number }, leans: number): Chosen[] {
  const way: Chosen[] = [];
  let cell: Cell | null = end.cell;
  let state = end.state;
  while (cell) {
    way.push({ cell, place: itemAt(cell.places, Math.floor(state / leans)), lean: state % leans });
    const before: Cell | null = itemAt(cell.before, state);
    state = stateAt(cell.from, state);
    cell = before;
  }
  return way.reverse();
}
