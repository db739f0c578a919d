import { itemAt } from '../../base';
import { toneOf } from '../../theory';
import type { Ticks } from '../../time';
import type { DraftNote } from '../candidate';
import type { Model } from './model';
import type { Way } from './search';
import type { Sung } from './tune';

/** A note of a break before the hands are planned. */
export interface Laid extends DraftNote {
  readonly fret: number;
  readonly kind: 'tune' | 'run' | 'roll' | 'added';
  /** The note of the tune that it is. */
  readonly tune: number | null;
  /** Its moment, as an index. */
  readonly moment: number;
}

/** The end of a phrase is held for so long at most: two bars of 4/4. */
const LONGEST_HELD = 7680;
/** A string of a roll rings on for at most so many places of the grid. */
const RING = 4;

/**
 * A way as notes. A string rings until it is struck again, its chord is over or the hand has moved; a note of the tune as long as it is sung, a
 * run's until the next. `dry`: nothing rings beyond the next strike but open strings.
 */
export function layOut(
  model: Model,
  way: Way,
  tune: readonly Sung[],
  endTick: Ticks,
  dry: (moment: number) => boolean,
): readonly Laid[] {
  const { moments } = model;
  const struck = way.steps.flatMap((step, moment) => (step.choice.string === null ? [] : [{ step, moment }]));
  return struck.map(({ step, moment }, i) => {
    const { kind, string, fret, midi, tune: index } = step.choice;
    const here = itemAt(moments, moment);
    const after = struck.slice(i + 1, i + 1 + 2 * RING);
    const next = after[0] ? itemAt(moments, after[0].moment).tick : endTick;
    const again = after.find((other) => other.step.choice.string === string);
    const moves = after.find((other) => other.step.position !== step.position);
    const limits = [endTick];
    if (again) limits.push(itemAt(moments, again.moment).tick);
    if (fret > 0 && moves) limits.push(itemAt(moments, moves.moment).tick);
    if (kind === 'run' || (fret > 0 && dry(moment))) limits.push(next);
    if (model.rolls.length === 0) limits.push(next);
    const sung = index === null ? null : itemAt(tune, index);
    const chordOver = toneOf(nextChord(model, moment), midi) ? endTick : here.harmony.endTick;
    if (kind === 'roll') limits.push(chordOver, here.tick + RING * here.ticks);
    if (sung) {
      // Where no roll goes on, the end of a phrase is held until the next one, as long as its chord lets it.
      const held = index !== null && model.rolls.length === 0 && tune[index + 1]?.begins === true;
      const longest = held ? Math.min(chordOver, here.tick + LONGEST_HELD) : 0;
      limits.push(Math.max(sung.tick + sung.ticks, here.tick + here.ticks, longest));
    }
    if (i === struck.length - 1) limits.push(Math.max(here.tick + here.ticks, here.tick + 3840));
    const until = Math.min(...limits);
    return {
      tick: here.tick,
      ticks: Math.max(1, until - here.tick),
      midi,
      articulation: 'struck',
      string,
      run: kind === 'run',
      fret,
      kind: kind === 'rest' ? 'roll' : kind,
      tune: index,
      moment,
    };
  });
}

function nextChord(model: Model, moment: number) {
  const { harmony } = itemAt(model.moments, moment);
  const then = model.moments.slice(moment + 1).find((each) => each.harmony !== harmony);
  return (then?.harmony ?? harmony).chord;
}
