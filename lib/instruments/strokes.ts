import { itemAt } from '../base';
import { beatTicks, ticksOf } from '../time';
import { beatStrokes } from './beat-strokes';
import { bowStrokes } from './bow';
import { fingerStrokes, pluckedBassStrokes } from './fingers';
import type { Stroke, StrokeRule } from './names';
import type { NoteToStrike, PlannedStroke, PlanStrokes, StrokeOptions } from './plan';
import { mixStrokes } from './stroke-mix';
import { NO_STROKE, restBetween, struckGroups } from './struck';

/**
 * The strokes for a fill, one for each note, in order.
 *
 * With a pick (guitar, mandolin), by the player's rule:
 * - `toward`: a stroke travels toward the string struck next, down where that has a lower number. If it is the same
 *   string, if a rest comes between, or if nothing comes after, the beat decides. Notes of a run alternate.
 * - `alternate`: the beat decides for every note, on the grid of the fastest notes (`beatStrokes`).
 * Hammered, pulled, slid and slurred notes take no stroke, and the rules look past them. Several strings at once are
 * one stroke; the rule compares the middle of what it strikes with the middle of what is struck next.
 * With `mixes`, a tune inside a roll that would strike one string twice running alike gets the cheapest mix (`mixStrokes`).
 * A rest is a silence of a sixteenth or more in which nothing written sounds; where the notes do not say how long they
 * are, a beat or more without an onset.
 *
 * Banjo and resonator guitar: fingers (`fingerStrokes`). Bass: plucked with one or two fingers. Fiddle: bows
 * (`bowStrokes`). A voice strikes nothing.
 *
 * The notes come in order of time. Source: the band's trade rules; common practice without a published source.
 */
export const planStrokes: PlanStrokes = (notes, options) => {
  switch (options.instrument) {
    case 'voice':
      return notes.map(() => NO_STROKE);
    case 'banjo':
    case 'resonator guitar':
      return fingerStrokes(notes, options);
    case 'bass':
      return pluckedBassStrokes(notes);
    case 'fiddle':
      return bowStrokes(notes, options);
    case 'guitar':
    case 'mandolin':
      return pickStrokes(notes, options);
  }
};

function pickStrokes(notes: readonly NoteToStrike[], options: StrokeOptions): readonly PlannedStroke[] {
  const groups = struckGroups(notes);
  const firsts = groups.map((group) => itemAt(notes, itemAt(group, 0)));
  const byBeat = beatStrokes(
    options.meter,
    options.barTick,
    firsts.map((note) => note.tick),
  );
  const middles = groups.map((group) => middleOf(group.map((index) => itemAt(notes, index).string)));
  const planned: PlannedStroke[] = notes.map(() => NO_STROKE);
  groups.forEach((group, at) => {
    const first = itemAt(firsts, at);
    const beat = byBeat(first.tick);
    const stroke = ((): PlannedStroke => {
      if (options.rule === 'alternate') return { stroke: beat, rule: 'alternate', exception: false };
      if (first.run) return { stroke: beat, rule: 'run', exception: false };
      const next = at + 1 < groups.length ? at + 1 : options.closes ? 0 : null;
      const across = next === null ? 0 : itemAt(middles, next) - itemAt(middles, at);
      const rests =
        next !== null && next > at && restBetween(notes, first, itemAt(firsts, next), options.meter);
      if (across === 0 || rests) {
        return { stroke: beat, rule: 'the beat decides', exception: false };
      }
      return { stroke: across < 0 ? 'down' : 'up', rule: 'toward the next string', exception: false };
    })();
    for (const index of group) planned[index] = stroke;
  });
  if (!options.mixes || options.closes) return planned;
  const mixed = mixStrokes(
    groups.map((group, at) => {
      const first = itemAt(firsts, at);
      const stroke = itemAt(planned, itemAt(group, 0)).stroke === 'up' ? 'up' : 'down';
      const onBeat = (first.tick - options.barTick) % beatTicks(options.meter) === 0;
      return { tick: first.tick, string: itemAt(middles, at), stroke, onBeat, fixed: first.run };
    }),
  );
  groups.forEach((group, at) => {
    for (const index of group) {
      const way = itemAt(planned, index);
      const stroke = itemAt(mixed, at);
      planned[index] = { stroke, rule: way.rule, exception: stroke !== way.stroke };
    }
  });
  return planned;
}

function middleOf(strings: readonly number[]): number {
  return (Math.min(...strings) + Math.max(...strings)) / 2;
}

/**
 * The strokes of a figure that is repeated: one string number a note, eighth notes from the beat in 4/4. On a guitar, with a pick.
 */
export function strokesForFigure(strings: readonly number[], rule: StrokeRule): readonly PlannedStroke[] {
  const eighth = ticksOf(1, 8);
  return planStrokes(
    strings.map((string, index) => ({
      tick: index * eighth,
      ticks: eighth,
      string,
      articulation: 'struck' as const,
      run: false,
    })),
    { instrument: 'guitar', rule, meter: { count: 4, unit: 4 }, barTick: 0, closes: true },
  );
}

/**
 * Strokes that a player chose themself, beside what their way would give: a stroke against it is kept, and marked
 * as an exception. A stroke on a note that is not struck is left out.
 *
 * @param played one for each note; null: as planned
 */
export function markStrokes(
  notes: readonly NoteToStrike[],
  played: readonly (Stroke | null)[],
  options: StrokeOptions,
): readonly PlannedStroke[] {
  return planStrokes(notes, options).map((plan, index) => {
    const own = played[index] ?? null;
    if (own === null || plan.stroke === null || own === plan.stroke) return plan;
    return { stroke: own, rule: plan.rule, exception: true };
  });
}
