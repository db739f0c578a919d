import { itemAt } from '../base';
import { type HandPlan, type OpenString, placesOf } from '../instruments';
import type { DraftNote } from './candidate';

/** Frets from the capo beyond which a bar does not share a line with open strings. Common practice, no source. */
const WITH_OPEN_STRINGS = 5;
/** A line may leave such a place for the open strings, or come to it from them, so often. */
export const MOST_BAR_LIFTS = 1;

/**
 * How often a line for the bar goes between open strings and a bar high on the neck: open strings belong to the first five frets, and from a
 * high place the bar is moved, not lifted, but once.
 */
export function barLifts(notes: readonly DraftNote[], hand: HandPlan): number {
  let lifts = 0;
  for (let i = 1; i < notes.length; i++) {
    if (!itemAt(notes, i).run && !itemAt(notes, i - 1).run) continue;
    const frets = [itemAt(hand.fingerings, i - 1).fret, itemAt(hand.fingerings, i).fret];
    if (Math.min(...frets) === 0 && Math.max(...frets) > WITH_OPEN_STRINGS) lifts += 1;
  }
  return lifts;
}

/** The same line among the open strings: each of its single notes where it lies nearest the nut. */
export function nearTheNut(
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
): readonly DraftNote[] {
  return notes.map((note) => {
    const single = notes.every((other) => other === note || other.tick !== note.tick);
    if (!note.run || !single) return note;
    const string = placesOf(strings, note.midi).toSorted((a, b) => a.fret - b.fret)[0]?.string ?? null;
    return { ...note, string, articulation: 'struck' };
  });
}
