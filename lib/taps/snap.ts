import { itemAt, lastOf, type Reason } from '../base';
import { beatOf } from '../time';
import { type Cell, type Chosen, cellOf, costAt, type Wandered, wayTo } from './cells';
import { TAP_COSTS as COSTS, TAP_MODEL, type TapModel } from './costs';
import { costOfTapsPassed, gauss, placeCost, type Scene, sceneOf, stepCost, timingCost } from './scene';
import type { SnapInput, SnappedTap, Tap, TapReading } from './types';

/** Events and taps may run apart by this many, with what was passed over taken together. */
const MOST_ADRIFT = 4;

/**
 * Snaps one pass's taps to the grid. Model: taps stand for events in order, either may be passed over at a cost (a slip, a missed event); each
 * tap lies on a place of the grid, later than the one before; it comes off its place by a lean that wanders slowly and a spread of its own.
 * Minimised is the sum of `TAP_COSTS` in nats, over the pass's spread and an even drift too.
 *
 * Exact for this model by dynamic programming over taps, events, places and leans, within these bounds: leans at the model's levels, wandering
 * by four of them from tap to tap; places within 0.6 of a beat beyond them; of taps and events, two of one kind in a row passed over, not both
 * between two taps that count, and no more than four in the balance. The drift is chosen under the first spread, then the spread. Where each hold ends is chosen
 * last, for itself. Takes time in proportion to the taps.
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
