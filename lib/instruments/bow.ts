import { itemAt } from '../base';
import { barTicks } from '../time';
import { beatStrokes } from './beat-strokes';
import type { NoteToStrike, PlannedStroke, StrokeOptions } from './plan';
import { NO_STROKE, restBetween, struckGroups } from './struck';

/**
 * Bows: each bowed note turns the bow, a slurred note does not. The first bow, and one after a rest, is taken by the
 * beat: down on it, up on the "and". So a shuffle (one long, two short) is down up down, up down up.
 * A downbeat that comes out on an up-bow is marked as an exception: strong beats are mostly down.
 * Common practice, no source.
 */
export function bowStrokes(notes: readonly NoteToStrike[], options: StrokeOptions): readonly PlannedStroke[] {
  const groups = struckGroups(notes);
  const byBeat = beatStrokes(
    options.meter,
    options.barTick,
    groups.map((group) => itemAt(notes, itemAt(group, 0)).tick),
  );
  const planned: PlannedStroke[] = notes.map(() => NO_STROKE);
  let before: { readonly note: NoteToStrike; readonly stroke: 'down' | 'up' } | null = null;
  for (const group of groups) {
    const note = itemAt(notes, itemAt(group, 0));
    const fresh: boolean = before === null || restBetween(notes, before.note, note, options.meter);
    const stroke: 'down' | 'up' =
      fresh || before === null ? byBeat(note.tick) : before.stroke === 'down' ? 'up' : 'down';
    const downbeat = (note.tick - options.barTick) % barTicks(options.meter) === 0;
    const bow = {
      stroke,
      rule: fresh ? 'the beat decides' : 'alternate',
      exception: downbeat && stroke === 'up',
    };
    for (const index of group) planned[index] = bow;
    before = { note, stroke };
  }
  return planned;
}
