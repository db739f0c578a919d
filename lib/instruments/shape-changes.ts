import { itemAt, lastOf } from '../base';
import { FINGER_PLACES, HAND_COSTS } from './hand-costs';
import type { InstrumentName } from './names';
import type { Fingering, Setup } from './plan';
import { betweenFretsMillimetres } from './setup';
import type { ChordShape } from './shapes';
import { INSTRUMENT_FACTS } from './tunings';

/** What a change from shape to shape costs, beside the hand's shift (`HAND_COSTS`), in the same unit. Common practice, no source. */
export const CHANGE_COSTS = {
  /** For each finger that is put down where it did not lie. */
  finger: 1,
  /** For each millimetre that it goes to get there, along the neck and across the strings. */
  fingerPerMillimetre: 0.04,
  /** So far the fingers reach without the hand's leaving its place: a fret at the nut of a guitar. A bar has no fingers. */
  reachMillimetres: 40,
} as const;

/** From one string to the next at the nut, in millimetres; a mandolin's courses, as courses. Common practice, no source. */
export const STRING_SPACING_MILLIMETRES: Readonly<Record<InstrumentName, number>> = {
  voice: 0,
  guitar: 7.3,
  banjo: 7.5,
  mandolin: 7.8,
  fiddle: 5.5,
  'resonator guitar': 9.5,
  bass: 10,
};

/** A way of holding a chord: the shape the hand comes to, and the one it leaves from (another where a fill lies between). */
export interface Hold {
  readonly arrives: ChordShape;
  readonly leaves: ChordShape;
  readonly cost: number;
}

/** A chord in its turn: the ways to hold it, and the time from the last touch of what was held before, in seconds. */
export interface Turn {
  readonly holds: readonly Hold[];
  readonly seconds: number;
}

/**
 * What the hand does from one shape to the next: its shift in millimetres of the neck, where that is more than the fingers reach from
 * where it is, dearer the less time there is; and each finger's own way. A finger that stays on its string and fret costs nothing; a bar only shifts.
 */
export function changeCost(setup: Setup, from: ChordShape, to: ChordShape, seconds: number): number {
  const { scaleMillimetres, hand } = INSTRUMENT_FACTS[setup.instrument];
  const along = (a: number, b: number) =>
    betweenFretsMillimetres(scaleMillimetres, setup.capo + a, setup.capo + b);
  let cost = 0;
  const shift = from.position > 0 && to.position > 0 ? along(from.position, to.position) : 0;
  if (shift > (hand === 'bar' ? 0 : CHANGE_COSTS.reachMillimetres)) {
    const hurry = 1 + HAND_COSTS.hurrySeconds / Math.max(seconds, SHORTEST_SECONDS);
    cost += HAND_COSTS.shift + HAND_COSTS.shiftPerMillimetre * shift * hurry;
  }
  if (hand === 'bar') return cost;
  for (const finger of [1, 2, 3, 4]) {
    const before = placeOf(from, finger);
    const after = placeOf(to, finger);
    if (after === null) continue;
    if (before === null) {
      cost += CHANGE_COSTS.finger;
      continue;
    }
    if (before.fret === after.fret && before.low === after.low && before.high === after.high) continue;
    const across = Math.abs(before.high - after.high) * STRING_SPACING_MILLIMETRES[setup.instrument];
    cost +=
      CHANGE_COSTS.finger +
      CHANGE_COSTS.fingerPerMillimetre * Math.hypot(along(before.fret, after.fret), across);
  }
  return cost;
}

/** No hand knows a change sooner before it than this. */
const SHORTEST_SECONDS = 0.05;

/** The fret and the strings that a finger stops, a barre from its lowest to its highest string number. */
function placeOf(shape: ChordShape, finger: number): { fret: number; low: number; high: number } | null {
  const stops = shape.stops.filter((stop) => stop.finger === finger);
  if (stops.length === 0) return null;
  const strings = stops.map((stop) => stop.string);
  return { fret: itemAt(stops, 0).fret, low: Math.min(...strings), high: Math.max(...strings) };
}

/**
 * One hold for each turn: the least sum of the holds' own costs, of the changes between them (`changeCost`) and of what `between`
 * adds; exactly, by dynamic programming over turns × holds. Every turn has at least one hold.
 */
export function smoothestHolds(
  setup: Setup,
  turns: readonly Turn[],
  between: (from: ChordShape, to: ChordShape) => number = () => 0,
): { readonly holds: readonly Hold[]; readonly cost: number } {
  interface Step {
    readonly hold: Hold;
    readonly cost: number;
    readonly before: Step | null;
  }
  let layer: readonly Step[] = [];
  turns.forEach(({ holds, seconds }, at) => {
    layer = holds.map((hold): Step => {
      if (at === 0) return { hold, cost: hold.cost, before: null };
      const steps = layer.map((step): Step => {
        const from = step.hold.leaves;
        const change = changeCost(setup, from, hold.arrives, seconds) + between(from, hold.arrives);
        return { hold, cost: step.cost + hold.cost + change, before: step };
      });
      return least(steps);
    });
  });
  if (layer.length === 0) return { holds: [], cost: 0 };
  const end = least(layer);
  const holds: Hold[] = [];
  for (let step: Step | null = end; step; step = step.before) holds.push(step.hold);
  return { holds: holds.reverse(), cost: end.cost };
}

function least<T extends { readonly cost: number }>(steps: readonly T[]): T {
  return steps.reduce((best, step) => (step.cost < best.cost ? step : best), lastOf(steps));
}

/** Where a hand lies that stops these strings at once, as a shape: what it comes from, or goes to. Nothing stopped: position 0. */
export function shapeOfStops(setup: Setup, stops: readonly Fingering[]): ChordShape {
  const stopped = stops.filter((stop) => stop.fret > 0);
  const places = stopped.map(({ fret, finger }) => {
    const own = FINGER_PLACES[setup.instrument].find((place) => place.finger === finger);
    return Math.max(1, fret - Math.max(0, own?.from ?? 0));
  });
  return { stops, position: places.length === 0 ? 0 : Math.min(...places), cost: 0 };
}
