import { fail, itemAt, ok, type Result } from '../base';
import type { Ticks } from '../time';
import type { SungNote } from './song';
import type { PlacedNote, Timeline } from './timeline';

/** No note is made shorter than this by moving it or its neighbour: an eighth of a quarter note. */
export const SHORTEST_NOTE: Ticks = 120;

/**
 * The sung notes that change when one of them is moved along the beats of a pass, whole, as they are to be: itself, and the note before
 * where that one was held up to it, and is so still. It keeps its end where it can, else its length; it stays behind the note before
 * and ahead of the note after it, and inside the pass.
 *
 * @param toTick where it is to begin, from the timeline's start
 */
export function moveNote(
  timeline: Timeline,
  passId: string | null,
  noteId: string,
  toTick: Ticks,
): Result<readonly SungNote[]> {
  const placed = timeline.passes.find(({ pass }) => (pass?.id ?? null) === passId);
  const voice = [...timeline.notes.values()].find((notes) => notes.some((one) => isIt(one, passId, noteId)));
  const at = voice?.findIndex((one) => isIt(one, passId, noteId)) ?? -1;
  const own = voice?.[at];
  if (!placed || !voice || !own)
    return fail('The word is not there any more', noteId, 'Look at the page as it is now');
  const near = (index: number) => {
    const one = voice[index];
    return one && one.passId === passId ? one : null;
  };
  const before = near(at - 1);
  const after = near(at + 1);
  const from = before ? before.startTick + SHORTEST_NOTE : placed.startTick;
  const to = (after?.startTick ?? placed.endTick) - SHORTEST_NOTE;
  if (toTick < from || toTick > to) {
    const [what, mend] =
      toTick < from
        ? ['There is no room before it', 'Move the word before it first']
        : ['There is no room after it', 'Move the word after it first'];
    return fail(what, own.syllable?.text ?? noteId, mend);
  }
  const keepsEnd = own.endTick - toTick >= SHORTEST_NOTE;
  const end = keepsEnd ? own.endTick : Math.min(toTick + own.note.ticks, after?.startTick ?? placed.endTick);
  const bar = timeline.barAt(toTick);
  const moved: SungNote = {
    ...own.note,
    barId: bar.bar.id,
    offset: toTick - bar.startTick,
    ticks: end - toTick,
  };
  const isHeld = before !== null && before.endTick >= Math.min(own.startTick, toTick);
  return ok(isHeld ? [{ ...before.note, ticks: toTick - before.startTick }, moved] : [moved]);
}

const isIt = (one: PlacedNote, passId: string | null, noteId: string) =>
  one.passId === passId && one.note.id === noteId;

/** The note on which a word that begins with a note is last held: over a melisma, the last of its notes. */
export function lastNoteOfWord(timeline: Timeline, passId: string | null, noteId: string): string {
  for (const notes of timeline.notes.values()) {
    const at = notes.findIndex((one) => isIt(one, passId, noteId));
    if (at < 0) continue;
    let last = at;
    for (let next = notes[last + 1]; next; next = notes[last + 1]) {
      const goesOn = next.syllable === null && next.startTick === itemAt(notes, last).endTick;
      if (!goesOn || next.passId !== passId || itemAt(notes, at).syllable === null) break;
      last += 1;
    }
    return itemAt(notes, last).note.id;
  }
  return noteId;
}
