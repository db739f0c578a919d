import { itemAt } from '../base';
import { type Ticks, ticksOf } from '../time';

/** What a pick's strokes cost. One unit is a stroke against the player's way. Common practice, no source. */
export const MIX_COSTS = {
  againstTheWay: 1,
  /** The same on a beat, which carries the tune. */
  againstTheWayOnBeat: 1.25,
  /** One string twice running by the same stroke, faster than in quarters: the pick has to come back through the air. */
  sameStringSameWay: 1.5,
} as const;

/** A stroke as the player's way gives it. */
export interface WayStroke {
  readonly tick: Ticks;
  /** The string; of several at once the middle of them. */
  readonly string: number;
  readonly stroke: 'down' | 'up';
  readonly onBeat: boolean;
  /** True for notes of a run, which alternate in any case. */
  readonly fixed: boolean;
}

/**
 * The cheapest mix of the player's way and its contrary, where a tune inside a roll strikes one string twice running.
 *
 * The model: a stroke for each note, the least sum of `MIX_COSTS`, exactly, by dynamic programming over notes × strokes; of
 * equal mixes the one that keeps to the player's way longest.
 */
export function mixStrokes(given: readonly WayStroke[]): readonly ('down' | 'up')[] {
  interface Step {
    readonly stroke: 'down' | 'up';
    readonly cost: number;
    readonly before: Step | null;
  }
  let layer: readonly Step[] = [];
  given.forEach((note, at) => {
    const other = note.stroke === 'down' ? 'up' : 'down';
    const ways = note.fixed ? [note.stroke] : ([note.stroke, other] as const);
    layer = ways.map((stroke): Step => {
      const against = note.onBeat ? MIX_COSTS.againstTheWayOnBeat : MIX_COSTS.againstTheWay;
      const own = stroke === note.stroke ? 0 : against;
      if (at === 0) return { stroke, cost: own, before: null };
      const steps = layer.map((step) => ({
        stroke,
        cost: step.cost + own + mixMove(itemAt(given, at - 1), step.stroke, note, stroke),
        before: step,
      }));
      return steps.reduce((least, step) => (step.cost < least.cost ? step : least));
    });
  });
  if (layer.length === 0) return [];
  const strokes: ('down' | 'up')[] = [];
  const end = layer.reduce((least, step) => (step.cost < least.cost ? step : least));
  for (let step: Step | null = end; step; step = step.before) strokes.push(step.stroke);
  return strokes.reverse();
}

function mixMove(from: WayStroke, fromStroke: 'down' | 'up', to: WayStroke, toStroke: 'down' | 'up'): number {
  const quick = to.tick - from.tick < ticksOf(1, 4);
  return quick && from.string === to.string && fromStroke === toStroke ? MIX_COSTS.sameStringSameWay : 0;
}
