import { itemAt } from '../../base';
import { type Choice, choicesAt, LAGS, type Model } from './model';
import { acrossCost, beginCost, besideRollCost, canGoOn, neckCost, placeCost, shiftCosts } from './moves';

/** One step of a way: what is done, in which place of the right hand, at which position of the left. */
export interface Step {
  readonly choice: Choice;
  /** Index of the roll's place; null: beside a roll. */
  readonly roll: number | null;
  readonly position: number;
}

export interface Way {
  readonly steps: readonly Step[];
  readonly cost: number;
}

const NEVER = Number.POSITIVE_INFINITY;

/**
 * The way of least cost through a model: a shortest path over (moment, lag of the tune, place of the right hand, position of the
 * left), found exactly by dynamic programming. A step costs its choice, what the right hand does to get there (to go on in a roll costs nothing, to begin one
 * anywhere `beginCost` and `acrossCost`) and what the left hand moves (`shiftCosts`, once and for each fret). Since these parts do not know of each other, the
 * least over positions, strings and rolls is taken one after another: O(moments × (lags × places × positions + choices × places)).
 * Null where there is no way.
 */
export function leastWay(model: Model): Way | null {
  const { rolls, positions: width } = model;
  const stringCount = model.strings.length;
  // The places of the right hand: rolls, then the last string beside a roll (0: nothing yet).
  const places = rolls.length + stringCount + 1;
  const beside = rolls.length;
  const stringOf = (place: number) => (place < beside ? itemAt(rolls, place).string : place - beside);
  const strings = Array.from({ length: places }, (_, place) => stringOf(place));
  const onString = Array.from({ length: stringCount + 1 }, (_, string) =>
    rolls.flatMap((roll, i) => (roll.string === string ? [i] : [])),
  );
  const size = LAGS.length * places * width;
  const at = (lag: number, place: number, position: number) => (lag * places + place) * width + position;
  const toFrom: Int32Array[] = [];
  const toChoice: Int16Array[] = [];
  const allChoices: (readonly Choice[])[] = [];
  const here: Layer = { costs: new Float64Array(size), from: new Int32Array(size) };
  const strung = new Int32Array(LAGS.length * (stringCount + 1) * width);
  let next = new Float64Array(size);
  let costs = new Float64Array(size).fill(NEVER);
  for (let position = 0; position < width; position++) costs[at(0, beside, position)] = 0;

  for (let k = 0; k < model.moments.length; k++) {
    const choices = choicesAt(model, k);
    allChoices.push(choices);
    shift(costs, width, shiftCosts(model, k), here);
    byString(here.costs, strings, stringCount, width, strung);
    next.fill(NEVER);
    const from = new Int32Array(size);
    const chosen = new Int16Array(size);
    const goesOn = canGoOn(model, k);
    const take = (to: number, cost: number, source: number, choice: number) => {
      if (cost >= (next[to] ?? NEVER)) return;
      next[to] = cost;
      from[to] = here.from[source] ?? -1;
      chosen[to] = choice;
    };
    choices.forEach((choice, c) => {
      const before = LAGS.indexOf(choice.before);
      const after = LAGS.indexOf(choice.after);
      const { string } = choice;
      for (let position = choice.lowest - 1; position < choice.highest; position++) {
        if (string === null) {
          for (let last = 0; last <= stringCount; last++) {
            const source = strung[(before * (stringCount + 1) + last) * width + position] ?? -1;
            if (source < 0) continue;
            take(at(after, beside + last, position), (here.costs[source] ?? NEVER) + choice.cost, source, c);
          }
          continue;
        }
        let least = NEVER;
        let leastSource = -1;
        for (let last = 0; last <= stringCount; last++) {
          const source = strung[(before * (stringCount + 1) + last) * width + position] ?? -1;
          if (source < 0) continue;
          const cost = (here.costs[source] ?? NEVER) + acrossCost(model, k, last, string, choice.kind);
          if (cost < least) {
            least = cost;
            leastSource = source;
          }
        }
        const { kind } = choice;
        const own = choice.cost + neckCost(position + 1);
        if (leastSource >= 0 && kind !== 'roll')
          take(
            at(after, beside + string, position),
            least + own + besideRollCost(model, kind),
            leastSource,
            c,
          );
        if (kind === 'run') continue;
        for (const place of itemAt(onString, string)) {
          const roll = itemAt(rolls, place);
          const to = at(after, place, position);
          if (leastSource >= 0) take(to, least + own + beginCost(model, k, roll, kind), leastSource, c);
          if (!goesOn) continue;
          for (const other of roll.from) {
            const source = at(before, other, position);
            take(to, (here.costs[source] ?? NEVER) + own + placeCost(model, k, roll, kind), source, c);
          }
        }
      }
    });
    [costs, next] = [next, costs];
    toFrom.push(from);
    toChoice.push(chosen);
  }

  let best = -1;
  for (let state = 0; state < places * width; state++)
    if (itemAt(costs, state) < (best < 0 ? NEVER : itemAt(costs, best))) best = state;
  if (best < 0) return null;
  const cost = itemAt(costs, best);
  const steps: Step[] = [];
  for (let k = model.moments.length - 1; k >= 0; k--) {
    const place = Math.floor(best / width) % places;
    steps.push({
      choice: itemAt(itemAt(allChoices, k), itemAt(itemAt(toChoice, k), best)),
      roll: place < beside ? place : null,
      position: (best % width) + 1,
    });
    best = itemAt(itemAt(toFrom, k), best);
  }
  return { steps: steps.reverse(), cost };
}

/** Costs of states, and the states that they came from. */
interface Layer {
  readonly costs: Float64Array;
  readonly from: Int32Array;
}

/** The least cost of each state after the hand has moved, and the state that it came from, put into `into`. */
function shift(
  costs: Float64Array,
  width: number,
  cost: { readonly once: number; readonly fret: number },
  into: Layer,
): void {
  const least = into.costs;
  const { from } = into;
  least.set(costs);
  for (let start = 0; start < costs.length; start += width) {
    let reached = false;
    for (let state = start; state < start + width; state++) {
      from[state] = state;
      reached ||= (costs[state] ?? NEVER) < NEVER;
    }
    if (!reached) continue;
    for (let way = 1; way >= -1; way -= 2) {
      let carried = NEVER;
      let source = -1;
      for (let i = 0; i < width; i++) {
        const state = start + (way > 0 ? i : width - 1 - i);
        carried += cost.fret;
        if (carried + cost.once < (least[state] ?? NEVER)) {
          least[state] = carried + cost.once;
          from[state] = source;
        }
        const own = costs[state] ?? NEVER;
        if (own < carried) {
          carried = own;
          source = state;
        }
      }
    }
  }
}

/** By lag, last string and position: the state of least cost, -1 where there is none; put into `best`. */
function byString(
  costs: Float64Array,
  strings: readonly number[],
  stringCount: number,
  width: number,
  best: Int32Array,
): void {
  best.fill(-1);
  const places = strings.length;
  for (let lag = 0; lag < LAGS.length; lag++) {
    for (let place = 0; place < places; place++) {
      const row = (lag * places + place) * width;
      const slots = (lag * (stringCount + 1) + (strings[place] ?? 0)) * width;
      for (let position = 0; position < width; position++) {
        const cost = costs[row + position] ?? NEVER;
        if (cost === NEVER) continue;
        const known = best[slots + position] ?? -1;
        if (known < 0 || cost < (costs[known] ?? NEVER)) best[slots + position] = row + position;
      }
    }
  }
}
