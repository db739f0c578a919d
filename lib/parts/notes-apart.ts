import type { FillNote } from '../song';
import type { Ticks } from '../time';
import type { Segment } from './lines';

/** From number to number, in sizes of one: a digit, and the space between two. */
const DIGIT = 0.56;
const NUMBER_SPACE = 0.3;
/** The same where a letter for a hammer-on stands between them, beside that of a stroke. */
const SLUR_SPACE = 1.6;

const NONE: ReadonlyMap<Ticks, number> = new Map();

/** Pixels that each note written in a segment needs up to the next, so that numbers and the letters of slurs never touch; by its tick. */
export function notesApart(
  { startTick, endTick }: Pick<Segment, 'startTick' | 'endTick'>,
  written: readonly (readonly FillNote[])[],
  numberSize: number,
): ReadonlyMap<Ticks, number> {
  if (written.length === 0) return NONE;
  const needs = new Map<Ticks, number>();
  for (const notes of written)
    notes.forEach((note, i) => {
      const next = notes[i + 1];
      if (!next || next.tick <= note.tick || note.tick < startTick || note.tick >= endTick) return;
      const digits = note.fret > 9 || next.fret > 9 ? 2 : 1;
      const slurred = ['hammer', 'pull', 'choke'].includes(next.articulation);
      const need = slurred ? SLUR_SPACE : digits * DIGIT + NUMBER_SPACE;
      needs.set(note.tick, Math.max(needs.get(note.tick) ?? 0, need * numberSize));
    });
  return needs;
}
