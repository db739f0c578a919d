import { itemAt } from '../base';
import { type Ticks, ticksOf } from '../time';
import { beatStrokes } from './beat-strokes';
import { FINGER_COSTS, PICKING_FINGERS, type PickingFinger, REACH, ROLL_FINGER } from './finger-costs';
import type { NoteToStrike, PlannedStroke, StrokeOptions } from './plan';
import { NO_STROKE, struckGroups } from './struck';

/** Notes struck together, with the ways to strike them. */
interface Strike {
  readonly indexes: readonly number[];
  readonly tick: Ticks;
  readonly strings: readonly number[];
  readonly run: boolean;
  /** A single note of a roll. */
  readonly rolled: boolean;
  /** On one string and in a run: thumb on the beat, index on the "and". */
  readonly byBeat: 'thumb' | 'index';
  readonly ways: readonly (readonly PickingFinger[])[];
}

/**
 * Thumb, index and middle for banjo and resonator guitar.
 *
 * The model: each note gets one finger, notes struck together (a pinch) different ones with the thumb nearest the ceiling.
 * What is minimised is the sum of each finger's reach and of what it costs to go from one strike to the next
 * (`FINGER_COSTS`, in small reaches of a finger), exactly, by dynamic programming over fingers; for a figure that
 * closes, over the circle. A finger
 * that strikes twice running faster than in quarters all the same is marked as an exception; so is a brush over
 * more than three strings, which goes to the thumb.
 * So rolls come out as the trade names them: forward T I M, backward M I T, alternating thumb T I T M, one string T I T I.
 * Common practice, no source.
 */
export function fingerStrokes(
  notes: readonly NoteToStrike[],
  options: StrokeOptions,
): readonly PlannedStroke[] {
  const strikes = strikesOf(notes, options);
  const best = leastWays(strikes, options.closes);
  const planned: PlannedStroke[] = notes.map(() => NO_STROKE);
  strikes.forEach((strike, at) => {
    const way = itemAt(best, at);
    const before = at > 0 ? at - 1 : options.closes && strikes.length > 1 ? strikes.length - 1 : null;
    const brush = way.length < strike.indexes.length;
    strike.indexes.forEach((index, position) => {
      const finger = brush ? 'thumb' : itemAt(way, position);
      const again =
        before !== null &&
        isQuick(itemAt(strikes, before), strike, at === 0) &&
        itemAt(best, before).includes(finger);
      planned[index] = { stroke: finger, rule: strike.run ? 'run' : 'roll', exception: brush || again };
    });
  });
  return planned;
}

function strikesOf(notes: readonly NoteToStrike[], options: StrokeOptions): readonly Strike[] {
  const groups = struckGroups(notes);
  const beat = beatStrokes(
    options.meter,
    options.barTick,
    groups.map((group) => itemAt(notes, itemAt(group, 0)).tick),
  );
  return groups.map((group) => {
    const first = itemAt(notes, itemAt(group, 0));
    const strings = group.map((index) => itemAt(notes, index).string);
    return {
      indexes: group,
      tick: first.tick,
      strings,
      run: first.run && group.length === 1,
      rolled: first.rolled === true && group.length === 1,
      byBeat: beat(first.tick) === 'down' ? 'thumb' : 'index',
      ways: waysToStrike(strings),
    };
  });
}

/** Every choice of different fingers, the thumb on the highest string number; a brush of the thumb over more than three. */
function waysToStrike(strings: readonly number[]): readonly (readonly PickingFinger[])[] {
  if (strings.length === 1) return PICKING_FINGERS.map((finger) => [finger]);
  if (strings.length > 3) return [['thumb']];
  const ways: PickingFinger[][] = [];
  const choose = (way: readonly PickingFinger[]) => {
    if (way.length === strings.length) {
      ways.push([...way]);
      return;
    }
    for (const finger of PICKING_FINGERS) {
      if (way.includes(finger)) continue;
      const inOrder = way.every((other, position) => {
        const across = itemAt(strings, position) - itemAt(strings, way.length);
        return across > 0 === PICKING_FINGERS.indexOf(other) < PICKING_FINGERS.indexOf(finger);
      });
      if (inOrder) choose([...way, finger]);
    }
  };
  choose([]);
  return ways;
}

function wayCost(strike: Strike, way: readonly PickingFinger[]): number {
  let cost = 0;
  way.forEach((finger, position) => {
    const reach = REACH[finger];
    cost += reach[itemAt(strike.strings, position)] ?? itemAt(reach, reach.length - 1);
    if (strike.run && finger !== strike.byBeat) cost += FINGER_COSTS.runOffThumbAndIndex;
    const own = strike.rolled ? ROLL_FINGER[itemAt(strike.strings, position)] : null;
    if (own && finger !== own) cost += FINGER_COSTS.rollOffItsFinger;
  });
  return cost;
}

/** Faster than in quarters. Across the end of a figure that closes nothing is known but that it goes on: quick. */
function isQuick(from: Strike, to: Strike, closing: boolean): boolean {
  return closing || to.tick - from.tick < ticksOf(1, 4);
}

function moveCost(
  from: Strike,
  fromWay: readonly PickingFinger[],
  to: Strike,
  toWay: readonly PickingFinger[],
  closing: boolean,
): number {
  if (!isQuick(from, to, closing)) return 0;
  let cost = 0;
  toWay.forEach((finger, position) => {
    if (fromWay.includes(finger)) cost += FINGER_COSTS.sameFingerAgain;
    const string = itemAt(to.strings, position);
    fromWay.forEach((other, otherPosition) => {
      const otherString = itemAt(from.strings, otherPosition);
      if (other === finger) return;
      if (string === otherString) {
        if (finger === 'middle' || other === 'middle') cost += FINGER_COSTS.otherPairOnOneString;
        else if (finger !== to.byBeat) cost += FINGER_COSTS.againstTheBeatOnOneString;
      } else if (string > otherString === PICKING_FINGERS.indexOf(finger) > PICKING_FINGERS.indexOf(other)) {
        cost += FINGER_COSTS.crossed;
      }
    });
  });
  return cost;
}

/** The way of least cost for each strike: forward over the strikes, for a closing figure once for each first way. */
function leastWays(strikes: readonly Strike[], closes: boolean): readonly (readonly PickingFinger[])[] {
  if (strikes.length === 0) return [];
  const first = itemAt(strikes, 0);
  const circle = closes && strikes.length > 1;
  let best: { cost: number; ways: readonly (readonly PickingFinger[])[] } | null = null;
  for (const start of circle ? first.ways.map((way) => [way]) : [first.ways]) {
    const found = leastFrom(strikes, start, circle);
    if (best === null || found.cost < best.cost - 1e-9) best = found;
  }
  return best === null ? [] : best.ways;
}

function leastFrom(
  strikes: readonly Strike[],
  start: readonly (readonly PickingFinger[])[],
  circle: boolean,
): { cost: number; ways: readonly (readonly PickingFinger[])[] } {
  interface Step {
    readonly way: readonly PickingFinger[];
    readonly cost: number;
    readonly before: Step | null;
  }
  const first = itemAt(strikes, 0);
  let layer: readonly Step[] = start.map((way) => ({ way, cost: wayCost(first, way), before: null }));
  for (let at = 1; at < strikes.length; at++) {
    const from = itemAt(strikes, at - 1);
    const to = itemAt(strikes, at);
    layer = to.ways.map((way) => {
      const own = wayCost(to, way);
      return layer
        .map((step) => ({
          way,
          cost: step.cost + own + moveCost(from, step.way, to, way, false),
          before: step,
        }))
        .reduce((least, step) => (step.cost < least.cost - 1e-9 ? step : least));
    });
  }
  const last = itemAt(strikes, strikes.length - 1);
  const ends = circle
    ? layer.map((step) => ({
        ...step,
        cost: step.cost + moveCost(last, step.way, first, itemAt(start, 0), true),
      }))
    : layer;
  const end = ends.reduce((least, step) => (step.cost < least.cost - 1e-9 ? step : least));
  const ways: (readonly PickingFinger[])[] = [];
  for (let step: Step | null = end; step !== null; step = step.before) ways.push(step.way);
  return { cost: end.cost, ways: ways.reverse() };
}

/**
 * Bass: one finger in quarters and slower, index and middle in turn in quicker notes, the index first.
 * Common practice, no source.
 */
export function pluckedBassStrokes(notes: readonly NoteToStrike[]): readonly PlannedStroke[] {
  const planned: PlannedStroke[] = notes.map(() => NO_STROKE);
  let lastTick = Number.NEGATIVE_INFINITY;
  let turn = 0;
  for (const group of struckGroups(notes)) {
    const { tick } = itemAt(notes, itemAt(group, 0));
    turn = tick - lastTick < ticksOf(1, 4) ? 1 - turn : 0;
    lastTick = tick;
    const finger = turn === 0 ? 'index' : 'middle';
    for (const index of group) planned[index] = { stroke: finger, rule: 'alternate', exception: false };
  }
  return planned;
}
