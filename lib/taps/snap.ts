import { itemAt, lastOf, type Reason } from '../base';
import { beatOf } from '../time';
import { TAP_COSTS as COSTS, TAP_MODEL, type TapModel } from './costs';
import { beatAt, type GridPlace, placesOf } from './grid';
import type { SnapInput, SnappedTap, Tap, TapReading } from './types';

/** Events and taps may run apart by this many, with what was passed over taken together. */
const MOST_ADRIFT = 4;
/** From tap to tap the lean wanders by so many levels at most. */
const MOST_WANDER = 4;

/** One tap for one event: a cost for each place and lean, and where it came from. */
interface Cell {
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
interface Chosen {
  readonly cell: Cell;
  readonly place: number;
  readonly lean: number;
}

/**
 * Snaps one pass's taps to the grid. Model: taps stand for events in order, either may be passed over at a cost (a slip, a missed event); each
 * tap lies on a place of the grid, later than the one before; it comes off its place by a lean that wanders slowly (drift) and a spread of its
 * own. Minimised is the sum of `TAP_COSTS` in nats, over the pass's spread and an even drift too. Exact for this model with leans at the model's levels (wandering by
 * four of them from tap to tap at most) and places within 0.6 of a beat beyond them, by dynamic programming over taps, events, places and
 * leans, once for each drift (under the first spread) and then for each spread; where each hold ends is then chosen for itself. Between two taps that stand for something, taps or events
 * are passed over, not both. Takes time in proportion to the taps.
 */
export function snapTaps(input: SnapInput, model: TapModel = TAP_MODEL): TapReading {
  const read = (drift: number, spread: number): TapReading => {
    const steady = { ...input, taps: undrifted(input, drift) };
    const reading = snapWithSpread(sceneOf(steady, model, spread));
    return { ...reading, drift, cost: reading.cost + gauss(drift, COSTS.drift) };
  };
  const [first, ...more] = model.spreads;
  const drifted = cheapest(model.drifts.map((drift) => read(drift, first)));
  return cheapest([drifted, ...more.map((spread) => read(drifted.drift, spread))]);
}

const cheapest = (readings: readonly TapReading[]): TapReading =>
  readings.reduce((best, one) => (one.cost < best.cost ? one : best));

/** The taps as they would have come from a singer who had kept the clock's tempo. */
function undrifted({ taps, clock }: SnapInput, drift: number): readonly Tap[] {
  if (drift === 0 || taps.length === 0) return taps;
  const whole = Math.max(1, lastOf(taps).downSeconds - clock.zeroSeconds);
  const steady = (seconds: number) => {
    const since = Math.max(0, seconds - clock.zeroSeconds);
    return seconds + (drift * since * since) / (2 * whole);
  };
  return taps.map(({ downSeconds, upSeconds }) => ({
    downSeconds: steady(downSeconds),
    upSeconds: steady(upSeconds),
  }));
}

function snapWithSpread(scene: Scene): TapReading {
  const { taps } = scene.input;
  const events = scene.input.events.length;
  const left = scene.input.isOver ? COSTS.missed : COSTS.notYet;
  const cells: (Cell | null)[][] = taps.map(() => []);
  let best: { readonly cell: Cell; readonly state: number } | null = null;
  let least = costOfTapsPassed(scene, 0, taps.length) + events * left;
  for (let j = 0; j < taps.length; j++) {
    const wandered = new Map<Cell, Wandered>();
    const row = itemAt(cells, j);
    const rest = costOfTapsPassed(scene, j + 1, taps.length);
    for (let i = Math.max(0, j - MOST_ADRIFT); i <= Math.min(events - 1, j + MOST_ADRIFT); i++) {
      const cell = cellOf(scene, cells, wandered, j, i);
      row[i] = cell;
      if (!cell) continue;
      const after = rest + (events - 1 - i) * left;
      for (let state = 0; state < cell.cost.length; state++) {
        const whole = costAt(cell.cost, state) + after;
        if (whole >= least) continue;
        least = whole;
        best = { cell, state };
      }
    }
  }
  return readingOf(scene, best ? wayTo(best, scene.model.leans.length) : [], least);
}

/** Costs are read in the innermost loops: typed, so that they stay quick. */
const costAt = (costs: Float64Array, state: number): number => costs[state] ?? Infinity;
const stateAt = (states: Int32Array, state: number): number => states[state] ?? -1;

interface Scene {
  readonly input: SnapInput;
  readonly model: TapModel;
  /** Of a tap, in seconds. */
  readonly spread: number;
  readonly places: readonly GridPlace[];
  /** By tap: the places near enough, as indexes. */
  readonly near: readonly (readonly number[])[];
  /** The usual step from syllable to syllable in ticks. */
  readonly usual: number;
}

function sceneOf(input: SnapInput, model: TapModel, spread: number): Scene {
  const places = placesOf(input.bars, input.swing, input.clock);
  const second = (input.clock.quartersPerMinute / 60) * 960;
  const early = Math.min(...model.leans);
  const late = Math.max(...model.leans);
  const near = input.taps.map(({ downSeconds }) => {
    const tick = (downSeconds - input.clock.zeroSeconds) * second;
    const reach = (0.6 * beatAt(input.bars, tick)) / second;
    // No sound begins at the last place: it is the end.
    return places.flatMap(({ seconds }, p) =>
      p < places.length - 1 && downSeconds - seconds >= early - reach && downSeconds - seconds <= late + reach
        ? [p]
        : [],
    );
  });
  const steps = input.taps
    .slice(1)
    .map((tap, j) => tap.downSeconds - itemAt(input.taps, j).downSeconds)
    .sort((a, b) => a - b);
  const usual = (steps[steps.length >> 1] ?? 0.5) * second;
  return { input, model, spread, places, near, usual: Math.max(240, usual) };
}

/** A square near nought, a line further out (Huber's way), and what a wide spread makes less likely everywhere, in nats. */
function timingCost(seconds: number, spread: number): number {
  const z = Math.abs(seconds) / spread;
  const off = z <= COSTS.square ? (z * z) / 2 : COSTS.square * (z - COSTS.square / 2);
  return off + Math.log(spread / COSTS.usualSpread);
}

const gauss = (seconds: number, spread: number): number => (seconds / spread) ** 2 / 2;

function costOfTapsPassed(scene: Scene, from: number, to: number): number {
  const { taps } = scene.input;
  let cost = 0;
  for (let j = from; j < to; j++) {
    const since = j > 0 ? itemAt(taps, j).downSeconds - itemAt(taps, j - 1).downSeconds : Infinity;
    cost += since < COSTS.doubleWithin ? COSTS.double : COSTS.slip;
  }
  return cost;
}

function placeCost(scene: Scene, event: number, place: number): number {
  const { tick, strength } = itemAt(scene.places, place);
  const { stress, writtenTick } = itemAt(scene.input.events, event);
  const beats = writtenTick === null ? 0 : Math.abs(tick - writtenTick) / beatAt(scene.input.bars, tick);
  return COSTS.place[stress][strength] + Math.min(COSTS.mostAway, COSTS.away * beats);
}

/** What it costs that an event follows the one before it after so long. */
function stepCost(scene: Scene, event: number, from: number, to: number): number {
  const gap = itemAt(scene.places, to).tick - itemAt(scene.places, from).tick;
  if (!itemAt(scene.input.events, event).startsLine)
    return COSTS.step * Math.abs(Math.log2(gap / scene.usual));
  const beats = gap / beatAt(scene.input.bars, itemAt(scene.places, from).tick);
  return COSTS.breath * Math.max(0, 2 - beats);
}

/** Costs of a cell after the lean has wandered from its tap to a later one: the least over the leans it had. */
interface Wandered {
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

function cellOf(
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

function wayTo(end: { readonly cell: Cell; readonly state: number }, leans: number): Chosen[] {
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

function readingOf(scene: Scene, way: readonly Chosen[], cost: number): TapReading {
  const { input } = scene;
  const snapped = way.map((chosen, n) => snappedOf(scene, chosen, way[n - 1] ?? null, way[n + 1] ?? null));
  const tapped = new Set(snapped.map(({ tap }) => tap));
  const sung = new Set(snapped.map(({ event }) => event));
  const last = input.isOver ? input.events.length : Math.max(-1, ...sung);
  const leans = way.map(({ lean }) => itemAt(scene.model.leans, lean));
  return {
    snapped,
    slips: input.taps.flatMap((_, j) => (tapped.has(j) ? [] : [j])),
    missed: input.events.flatMap((_, i) => (i < last && !sung.has(i) ? [i] : [])),
    cost,
    spreadSeconds: scene.spread,
    leanSeconds: leans.length === 0 ? 0 : leans.reduce((sum, lean) => sum + lean, 0) / leans.length,
    clock: input.clock,
    drift: 0,
  };
}

function snappedOf(scene: Scene, chosen: Chosen, before: Chosen | null, after: Chosen | null): SnappedTap {
  const { cell, place } = chosen;
  const lean = itemAt(scene.model.leans, chosen.lean);
  const tap = itemAt(scene.input.taps, cell.tap);
  const { tick, seconds } = itemAt(scene.places, place);
  const around = (at: number): readonly Reason[] => reasonsAt(scene, chosen, before, after, at);
  const whole = (at: number) => around(at).reduce((sum, { weight }) => sum + weight, 0);
  let other: number | null = null;
  let margin = Infinity;
  const own = whole(place);
  for (const at of cell.places) {
    if (at === place || (before && at <= before.place) || (after && at >= after.place)) continue;
    const more = whole(at) - own;
    if (more >= margin) continue;
    margin = more;
    other = itemAt(scene.places, at).tick;
  }
  const limit = after ? after.place : scene.places.length - 1;
  return {
    tap: cell.tap,
    event: cell.event,
    tick,
    ticks: endOf(scene, place, limit, tap.upSeconds - lean) - tick,
    lateSeconds: tap.downSeconds - seconds,
    margin,
    otherTick: other,
    reasons: around(place),
  };
}

/** The terms that depend on where one tap lies, with the taps round it and its lean as they are. */
function reasonsAt(
  scene: Scene,
  { cell, lean }: Chosen,
  before: Chosen | null,
  after: Chosen | null,
  place: number,
): readonly Reason[] {
  const { seconds, tick } = itemAt(scene.places, place);
  const bar = scene.input.bars.findLast((one) => one.startTick <= tick);
  const late = itemAt(scene.input.taps, cell.tap).downSeconds - seconds;
  const off = Math.round(Math.abs(late) * 1000);
  const reasons: Reason[] = [
    {
      rule: 'timing',
      weight: timingCost(late - itemAt(scene.model.leans, lean), scene.spread),
      detail: off === 0 ? 'tapped just there' : `tapped ${off} ms ${late < 0 ? 'before' : 'after'} it`,
    },
    {
      rule: 'place',
      weight: placeCost(scene, cell.event, place),
      detail: bar ? `on beat ${beatOf(bar.meter, tick - bar.startTick)}` : 'on the grid',
    },
  ];
  if (before && before.cell.event === cell.event - 1)
    reasons.push({
      rule: 'step',
      weight: stepCost(scene, cell.event, before.place, place),
      detail: 'after the one before it',
    });
  if (after && after.cell.event === cell.event + 1)
    reasons.push({
      rule: 'step',
      weight: stepCost(scene, after.cell.event, place, after.place),
      detail: 'before the one after it',
    });
  return reasons;
}

/** Where a hold ends: the place after its start, up to a limit, that costs least. */
function endOf(scene: Scene, start: number, limit: number, upSeconds: number): number {
  let end = Math.min(start + 1, limit);
  let least = Infinity;
  for (let p = start + 1; p <= limit; p++) {
    const { seconds, strength } = itemAt(scene.places, p);
    const cost = COSTS.end[strength] + timingCost(upSeconds - seconds, scene.spread * COSTS.letGo);
    if (cost >= least) continue;
    least = cost;
    end = p;
  }
  return itemAt(scene.places, Math.max(end, start + 1)).tick;
}
