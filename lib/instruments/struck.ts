import { itemAt } from '../base';
import { beatTicks, type Meter, type Ticks, ticksOf } from '../time';
import type { Articulation } from './names';
import type { NoteToStrike, PlannedStroke } from './plan';

export const NO_STROKE: PlannedStroke = { stroke: null, rule: null, exception: false };

const UNSTRUCK: ReadonlySet<Articulation> = new Set(['hammer', 'pull', 'slide', 'slurred']);

/**
 * Whether the right hand makes a note sound: all but a hammer-on, a pull-off, a slide and a slurred note. A choke is
 * struck, then bent.
 */
export function isStruck(articulation: Articulation): boolean {
  return !UNSTRUCK.has(articulation);
}

/** The struck notes that start together, as indexes, in order of time. */
export function struckGroups(notes: readonly NoteToStrike[]): readonly (readonly number[])[] {
  const groups: number[][] = [];
  let last: Ticks | null = null;
  notes.forEach((note, index) => {
    if (!isStruck(note.articulation)) return;
    if (note.tick === last) itemAt(groups, groups.length - 1).push(index);
    else groups.push([index]);
    last = note.tick;
  });
  return groups;
}

/**
 * Whether a rest lies between two notes' onsets: a sixteenth or more in which nothing written sounds. A note that does
 * not say how long it is lasts until the next one, but less than a beat.
 */
export function restBetween(
  notes: readonly NoteToStrike[],
  from: NoteToStrike,
  to: NoteToStrike,
  meter: Meter,
): boolean {
  const least = ticksOf(1, 16);
  const unsaid = Math.max(beatTicks(meter), ticksOf(1, 4)) - least;
  let soundsUntil = Number.POSITIVE_INFINITY;
  for (const note of notes) {
    if (note.tick > to.tick) break;
    if (note.tick > from.tick && note.tick - soundsUntil >= least) return true;
    const end = note.tick + (note.ticks ?? unsaid);
    soundsUntil = soundsUntil === Number.POSITIVE_INFINITY ? end : Math.max(soundsUntil, end);
  }
  return false;
}
