import { itemAt } from '../base';
import { barTicks, type Ticks } from '../time';
import { beatStrokes } from './beat-strokes';
import type { NoteToStrike, PlannedStroke, StrokeOptions } from './plan';
import { NO_STROKE, restBetween, struckGroups } from './struck';

/**
 * Bows: each bowed note turns the bow, a slurred note does not. The first bow, and one after a rest, is taken so that the
 * fewest downbeats until the next rest come out on an up-bow; where both ways are as good, by the beat: down on it, up on the
 * "and". So a shuffle (one long, two short) is down up down, up down up, and a long bow before a barline goes up.
 * A downbeat that comes out on an up-bow all the same is marked as an exception: strong beats are mostly down.
 * Exact: both ways are tried. Common practice, no source.
 */
export function bowStrokes(notes: readonly NoteToStrike[], options: StrokeOptions): readonly PlannedStroke[] {
  const bows = bowsOf(notes, options);
  const planned: PlannedStroke[] = notes.map(() => NO_STROKE);
  for (const stretch of stretchesOf(bows)) {
    const ways = (['beat', 'against'] as const).map((way) => takeFrom(stretch, way));
    const [beat, against] = [itemAt(ways, 0), itemAt(ways, 1)];
    const least = exceptions(against) < exceptions(beat) ? against : beat;
    stretch.forEach(({ indexes }, at) => {
      for (const index of indexes) planned[index] = itemAt(least, at);
    });
  }
  return planned;
}

/** One bow: what it sounds, and where it lies. */
interface Bow {
  readonly indexes: readonly number[];
  readonly beat: 'down' | 'up';
  readonly downbeat: boolean;
  readonly afterRest: boolean;
}

function bowsOf(notes: readonly NoteToStrike[], options: StrokeOptions): readonly Bow[] {
  const groups = struckGroups(notes);
  const byBeat = beatStrokes(
    options.meter,
    options.barTick,
    groups.map((group) => itemAt(notes, itemAt(group, 0)).tick),
  );
  return groups.map((indexes, at) => {
    const note = itemAt(notes, itemAt(indexes, 0));
    const before = groups[at - 1];
    return {
      indexes,
      beat: byBeat(note.tick),
      downbeat: isDownbeat(note.tick, options),
      afterRest:
        before !== undefined && restBetween(notes, itemAt(notes, itemAt(before, 0)), note, options.meter),
    };
  });
}

function isDownbeat(tick: Ticks, { downbeats, barTick, meter }: StrokeOptions): boolean {
  return downbeats === undefined ? (tick - barTick) % barTicks(meter) === 0 : downbeats.includes(tick);
}

/** Bows between rests: they turn one after another. */
function stretchesOf(bows: readonly Bow[]): readonly (readonly Bow[])[] {
  const stretches: Bow[][] = [];
  for (const bow of bows) {
    const last = stretches.at(-1);
    if (last === undefined || bow.afterRest) stretches.push([bow]);
    else last.push(bow);
  }
  return stretches;
}

function takeFrom(bows: readonly Bow[], way: 'beat' | 'against'): readonly PlannedStroke[] {
  const first = itemAt(bows, 0);
  let down = (first.beat === 'down') === (way === 'beat');
  return bows.map((bow, at) => {
    if (at > 0) down = !down;
    return {
      stroke: down ? 'down' : 'up',
      rule: at > 0 ? 'alternate' : 'the beat decides',
      exception: bow.downbeat && !down,
    };
  });
}

const exceptions = (strokes: readonly PlannedStroke[]) => strokes.filter((each) => each.exception).length;
