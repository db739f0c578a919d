import { itemAt } from '../base';
import { type OpenString, placesOf } from '../instruments';
import type { DraftNote } from './candidate';
import { holding, type Scene, strengthAt } from './scene';

/** Chokes are for fingers on thin strings, clear of the nut, where they are stiff. Common practice, no source. */
const CHOKED_ON: ReadonlySet<string> = new Set(['guitar', 'banjo']);
const THIN_STRINGS = 3;
const CLEAR_OF_NUT = 2;

/** Whether a player chokes strings at all: pulls the flat third of a major chord up a little toward the third. */
export const choosesChokes = (scene: Scene): boolean => CHOKED_ON.has(scene.setup.instrument);

/** A note choked on the first thin string that has it; null where none has. */
export function choked(strings: readonly OpenString[], note: DraftNote): DraftNote | null {
  const place = placesOf(strings, note.midi).find(
    ({ string, fret }) => string <= THIN_STRINGS && fret >= CLEAR_OF_NUT,
  );
  return place ? { ...note, string: place.string, articulation: 'choke' } : null;
}

/**
 * A line with its flat thirds choked where they go down, to the second or the root, off the beat; null where there are none, or a string cannot be
 * choked there.
 */
export function chokedLine(
  scene: Scene,
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
): readonly DraftNote[] | null {
  const line: DraftNote[] = [];
  let count = 0;
  for (const [i, note] of notes.entries()) {
    const { chord } = holding(scene, note.tick);
    const next = notes[i + 1];
    const flat = chord.third === 'major' && (note.midi - chord.root) % 12 === FLAT_THIRD;
    if (!flat || !next || next.midi > note.midi) line.push(note);
    else {
      const pulled = strengthAt(scene.timeline, note.tick) < 2 ? choked(strings, note) : null;
      if (!pulled) return null;
      line.push(pulled);
      count += 1;
    }
  }
  return count > 0 && itemAt(line, line.length - 1).articulation !== 'choke' ? line : null;
}

const FLAT_THIRD = 3;
