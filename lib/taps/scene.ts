import { itemAt } from '../base';
import { TAP_COSTS as COSTS, type TapModel } from './costs';
import { beatAt, type GridPlace, placesOf } from './grid';
import type { SnapInput } from './types';

/** What the search looks at: the taps with the places that are near each, under one spread. */
export interface Scene {
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

export function sceneOf(input: SnapInput, model: TapModel, spread: number): Scene {
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
export function timingCost(seconds: number, spread: number): number {
  const z = Math.abs(seconds) / spread;
  const off = z <= COSTS.square ? (z * z) / 2 : COSTS.square * (z - COSTS.square / 2);
  return off + Math.log(spread / COSTS.usualSpread);
}

export const gauss = (seconds: number, spread: number): number => (seconds / spread) ** 2 / 2;

export function costOfTapsPassed(scene: Scene, from: number, to: number): number {
  const { taps } = scene.input;
  let cost = 0;
  for (let j = from; j < to; j++) {
    const since = j > 0 ? itemAt(taps, j).downSeconds - itemAt(taps, j - 1).downSeconds : Infinity;
    cost += since < COSTS.doubleWithin ? COSTS.double : COSTS.slip;
  }
  return cost;
}

export function placeCost(scene: Scene, event: number, place: number): number {
  const { tick, strength } = itemAt(scene.places, place);
  const { stress, writtenTick } = itemAt(scene.input.events, event);
  const beats = writtenTick === null ? 0 : Math.abs(tick - writtenTick) / beatAt(scene.input.bars, tick);
  return COSTS.place[stress][strength] + Math.min(COSTS.mostAway, COSTS.away * beats);
}

/** What it costs that an event follows the one before it after so long. */
export function stepCost(scene: Scene, event: number, from: number, to: number): number {
  const gap = itemAt(scene.places, to).tick - itemAt(scene.places, from).tick;
  if (!itemAt(scene.input.events, event).startsLine)
    return COSTS.step * Math.abs(Math.log2(gap / scene.usual));
  const beats = gap / beatAt(scene.input.bars, itemAt(scene.places, from).tick);
  return COSTS.breath * Math.max(0, 2 - beats);
}
