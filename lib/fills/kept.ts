import type { FillNote } from '../song';
import type { Draft, DraftNote } from './candidate';
import { retitled } from './titles';
import type { Offer } from './types';

/** Families that may go on through the guard. */
const LOW_FAMILIES: ReadonlySet<string> = new Set(['bass run', 'walk', 'root and fifth', 'turnaround']);

/** Whether a family keeps low enough to go on until the singer comes in. */
export const goesThroughGuard = (family: string): boolean => LOW_FAMILIES.has(family);

/** A note of a fill as it stands, to be planned again on its string. */
export function draftNoteOf(note: FillNote): DraftNote {
  const { tick, ticks, midi, articulation, string, word } = note;
  const draft = { tick, ticks, midi, articulation, string, run: note.strokeRule === 'run' };
  return word === undefined ? draft : { ...draft, word };
}

/** A fill that stands, with other notes, as a draft again; nothing is slurred that is not slurred already. */
export function draftLike(
  fill: Pick<Offer, 'family' | 'title'>,
  notes: readonly DraftNote[],
  changed: string,
): Draft {
  const plain = retitled(fill.title.split(CHANGED)[0] ?? fill.title, notes);
  return {
    family: fill.family,
    title: `${plain}${CHANGED}${changed}`,
    notes,
    strings: [],
    throughGuard: goesThroughGuard(fill.family),
    leads: false,
    slurs: 'none',
  };
}

/** Stands between an idea's title and what was changed in it, so that a second change does not say the first. */
const CHANGED = '; now ';
