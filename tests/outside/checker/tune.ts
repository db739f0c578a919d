import { type Note, UNSTRUCK } from './cases';

/** A note that is sung. */
export interface SungAt {
  readonly tick: number;
  readonly midi: number;
}

/** As far as a note of the tune may stand from its beat: an eighth. Common practice, no source. */
const LICENCE = 480;
/** A note that is hammered or slid into on its beat sounds at most a sixteenth after it. Common practice, no source. */
const SLURRED_INTO = 240;

/**
 * What a break leaves out of a tune: each phrase has one octave in which its notes begin one after another, each within an eighth of
 * its own beat, each in a note of its own. Also how many begin on their beat.
 */
export function tuneFaults(
  phrases: readonly (readonly SungAt[])[],
  notes: readonly Note[],
): { readonly faults: readonly string[]; readonly onBeat: number } {
  const faults: string[] = [];
  let onBeat = 0;
  let from = 0;
  for (const phrase of phrases) {
    let best = { kept: -1, onBeat: 0, next: from, lost: '' };
    for (let octaves = -4; octaves <= 4; octaves++) {
      const found = matchFrom(phrase, notes, from, 12 * octaves);
      if (found.kept > best.kept || (found.kept === best.kept && found.onBeat > best.onBeat)) best = found;
    }
    if (best.kept < phrase.length) faults.push(best.lost);
    onBeat += best.onBeat;
    from = best.next;
  }
  return { faults, onBeat };
}

function matchFrom(phrase: readonly SungAt[], notes: readonly Note[], from: number, moved: number) {
  let at = from;
  let kept = 0;
  let onBeat = 0;
  let lost = '';
  for (const sung of phrase) {
    const fits = (note: Note) =>
      note.midi === sung.midi + moved && Math.abs(note.tick - sung.tick) <= LICENCE;
    // On its beat where it can be had there; else the first within the licence.
    const onItsBeat = (note: Note) =>
      note.tick === sung.tick ||
      (UNSTRUCK.has(note.articulation) && note.tick > sung.tick && note.tick - sung.tick <= SLURRED_INTO);
    let index = notes.findIndex((note, i) => i >= at && fits(note) && onItsBeat(note));
    if (index >= 0) onBeat += 1;
    else index = notes.findIndex((note, i) => i >= at && fits(note));
    if (index < 0) {
      lost ||= `${sung.midi} at tick ${sung.tick} is not played`;
      continue;
    }
    kept += 1;
    at = index + 1;
  }
  return { kept, onBeat, next: at, lost };
}
