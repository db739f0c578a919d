import { itemAt } from '../base';
import { secondsOf, type Ticks } from '../time';
import { type Grip, type Hand, shiftCost } from './hand-model';
import { moveCost, type Onset, type Sounding, type State } from './hand-moves';

/** Slack over the lower bound within which the search looks first, in the unit of `HAND_COSTS`. */
const SLACKS = [1, 8, 32, 128, Number.POSITIVE_INFINITY];

/** The states of a plan of least cost, one for each onset; or the onset at which every way ends. */
export type Found =
  | { readonly ok: true; readonly path: readonly State[] }
  | { readonly ok: false; readonly stuckAt: number };

/**
 * What is still to come costs at least this much, by onset and by the hand's position before it (0: anywhere): the same
 * problem without held notes, slurs and hops, where a shift has the time since the last onset at which a finger
 * must have been put down.
 */
function leastToGo(
  hand: Hand,
  onsets: readonly Onset[],
  quartersPerMinute: number,
): readonly (readonly number[])[] {
  const seconds: number[] = [];
  let pressed = onsets[0]?.tick ?? 0;
  for (const onset of onsets) {
    seconds.push(secondsOf(onset.tick - pressed, quartersPerMinute));
    if (onset.grips.every((grip) => grip.position > 0)) pressed = onset.tick;
  }
  let later: readonly number[] = Array.from({ length: hand.highest + 1 }, () => 0);
  const table: (readonly number[])[] = [later];
  for (let at = onsets.length - 1; at >= 0; at--) {
    const byPosition = Array.from({ length: hand.highest + 1 }, () => Number.POSITIVE_INFINITY);
    for (const { position, cost } of itemAt(onsets, at).grips) {
      byPosition[position] = Math.min(itemAt(byPosition, position), cost);
    }
    const stays = itemAt(byPosition, 0);
    const puts = byPosition
      .map((cost, to) => ({ to, cost: cost + itemAt(later, to) }))
      .filter(({ to, cost }) => to > 0 && cost < Number.POSITIVE_INFINITY);
    const before = itemAt(seconds, at);
    const now = later.map((rest, from) => {
      let least = stays + rest;
      for (const { to, cost } of puts) {
        if (cost < least)
          least = Math.min(least, cost + (from === 0 ? 0 : shiftCost(hand, from, to, before)));
      }
      return least;
    });
    table.push(now);
    later = now;
  }
  return table.reverse();
}

/** The shortest path through the onsets, in the model of `planHand`. */
export function leastPath(hand: Hand, onsets: readonly Onset[], quartersPerMinute: number): Found {
  const toGo = leastToGo(hand, onsets, quartersPerMinute);
  const ordered = onsets.map((onset, at) => cheapestFirst(onset.grips, itemAt(toGo, at + 1)));
  let stuckAt = 0;
  for (const slack of SLACKS) {
    const bound = itemAt(itemAt(toGo, 0), 0) + slack;
    let layer: readonly State[] = [START];
    let cut = false;
    for (let at = 0; at < onsets.length && layer.length > 0; at++) {
      const onset = itemAt(onsets, at);
      const rest = itemAt(toGo, at + 1);
      const nextTick = onsets[at + 1]?.tick ?? Number.POSITIVE_INFINITY;
      const best = new Map<string, State>();
      for (const state of layer) {
        for (const { grip, atLeast } of itemAt(ordered, at)) {
          if (state.cost + atLeast > bound) {
            cut = true;
            break;
          }
          const move = moveCost(hand, state, onset, grip, quartersPerMinute, null);
          if (move === null) continue;
          const cost = state.cost + grip.cost + move;
          if (cost + itemAt(rest, grip.position || state.position) > bound) {
            cut = true;
            continue;
          }
          const next = after(state, onset, grip, cost, nextTick);
          const key = keyOf(next);
          const known = best.get(key);
          if (known === undefined || cost < known.cost) best.set(key, next);
        }
      }
      layer = [...best.values()];
      if (layer.length === 0) stuckAt = at;
    }
    if (layer.length > 0) {
      const end = layer.reduce((least, state) => (state.cost < least.cost ? state : least));
      const path: State[] = [];
      for (let state: State | null = end; state?.before; state = state.before) path.push(state);
      return { ok: true, path: path.reverse() };
    }
    if (!cut) break;
  }
  return { ok: false, stuckAt };
}

/** Grips in the order of the least that a path through them still costs, whatever came before. */
function cheapestFirst(
  grips: readonly Grip[],
  rest: readonly number[],
): readonly { readonly grip: Grip; readonly atLeast: number }[] {
  const anywhere = Math.min(...rest);
  return grips
    .map((grip) => ({
      grip,
      atLeast: grip.cost + (grip.position > 0 ? itemAt(rest, grip.position) : anywhere),
    }))
    .sort((a, b) => a.atLeast - b.atLeast);
}

const START: State = {
  position: 0,
  pressedAt: 0,
  sounding: [],
  cost: 0,
  grip: { stops: [], position: 0, cost: 0 },
  before: null,
};

/** The state after a grip; what has fallen silent before the next onset is forgotten. */
function after(state: State, onset: Onset, grip: Grip, cost: number, nextTick: Ticks): State {
  const sounding: Sounding[] = [];
  for (const each of state.sounding) {
    if (
      each.end > onset.tick &&
      each.end >= nextTick &&
      !grip.stops.some((stop) => stop.string === each.stop.string)
    ) {
      sounding.push(each);
    }
  }
  grip.stops.forEach((stop, position) => {
    const { ticks } = itemAt(onset.notes, position);
    const end = onset.tick + ticks;
    if (end >= nextTick) sounding.push({ stop, note: itemAt(onset.indexes, position), end });
  });
  return {
    position: grip.position || state.position,
    pressedAt: grip.position > 0 ? onset.tick : state.pressedAt,
    sounding,
    cost,
    grip,
    before: state,
  };
}

/** From two states with one key the same moves lead on at the same cost. A stop's fret follows from its note and string. */
function keyOf(state: State): string {
  let key = `${state.position} ${state.pressedAt}`;
  for (const { note, stop } of state.sounding) key += ` ${note}.${stop.string}.${stop.finger}`;
  return key;
}
