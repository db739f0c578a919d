import { itemAt } from '../../base';
import { BREAK_COSTS, TUNE_REACH } from './costs';
import { type Choice, LICENCE, type Model } from './model';
import type { RollState } from './roll-states';

/** What it costs to begin a roll at a moment, at a place of it. */
export function beginCost(model: Model, k: number, state: RollState, kind: Choice['kind']): number {
  const { strength } = itemAt(model.moments, k);
  const begin =
    strength >= 3
      ? BREAK_COSTS.rollBeginsStrong
      : strength === 2
        ? BREAK_COSTS.rollBeginsOnBeat
        : BREAK_COSTS.rollBeginsOff;
  return begin + (state.first ? 0 : BREAK_COSTS.rollBeginsInside) + placeCost(model, k, state, kind);
}

/** What a place of a roll costs at a moment: the tune inside a cross-picking set, not on its lowest string; an up-stroke on a beat. */
export function placeCost(model: Model, k: number, state: RollState, kind: Choice['kind']): number {
  const inside = kind === 'tune' && state.place !== null && state.place > 0 ? BREAK_COSTS.tuneInside : 0;
  const up = model.rule === 'toward' && state.turnsUp && itemAt(model.moments, k).strength >= 2;
  return inside + (up ? BREAK_COSTS.upOnBeat : 0);
}

/** From one string to the next, where the right hand does not go on in its roll. `from` 0: nothing was struck before. */
export function acrossCost(model: Model, k: number, from: number, to: number, kind: Choice['kind']): number {
  const before = model.moments[k - 1];
  if (from === 0 || !before) return 0;
  const apart = Math.abs(to - from);
  const gap = itemAt(model.moments, k).tick - before.tick;
  if (model.instrument === 'banjo' && gap <= LICENCE && usesThumb(from, to)) return BREAK_COSTS.thumbAgain;
  if (kind === 'run') return BREAK_COSTS.runAcross * apart;
  if (model.rolls.length === 0 || gap > LICENCE) return 0;
  if (apart === 0) return BREAK_COSTS.sameStringAgain;
  return model.instrument === 'banjo' ? 0 : BREAK_COSTS.stringLeft * (apart - 1);
}

/** The short string is the thumb's, and so is what lies next to it where the other fingers do not reach. */
const usesThumb = (from: number, to: number) =>
  from !== to && Math.max(from, to) === 5 && Math.min(from, to) >= 3;

/** Beside a roll: what the choice costs there, where one would be possible. */
export function besideRollCost(model: Model, kind: Choice['kind']): number {
  return kind === 'tune' && model.rolls.length > 0 ? BREAK_COSTS.outsideRoll : 0;
}

/** What a strike costs more at a position (from 1) of the hand. */
export const neckCost = (position: number): number => BREAK_COSTS.upTheNeck * (position - 1);

/** A roll goes on only from one place of the grid to the next. */
export function canGoOn(model: Model, k: number): boolean {
  const before = model.moments[k - 1];
  const here = itemAt(model.moments, k);
  return before?.onGrid === true && here.onGrid;
}

/** For each fret that the hand moves before a moment, and for moving at all. */
export function shiftCosts(model: Model, k: number): { readonly once: number; readonly fret: number } {
  const before = model.moments[k - 1];
  if (!before) return { once: 0, fret: 0 };
  const haste = itemAt(model.moments, k).tick - before.tick < 960 ? BREAK_COSTS.shiftInHaste : 1;
  const bar = TUNE_REACH[model.instrument].hand === 0 ? BREAK_COSTS.shiftOfBar : 1;
  return { once: BREAK_COSTS.shift * haste * bar, fret: BREAK_COSTS.shiftFret * haste * bar };
}
