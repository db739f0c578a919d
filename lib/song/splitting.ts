import { fail, ok, type Result } from '../base';
import { SHORTEST_NOTE } from './moving';
import type { Song, SungNote, Syllable } from './song';
import type { PlacedNote, Timeline } from './timeline';

/** Sung notes as they are to be, and those that go. */
export interface NoteChange {
  readonly put: readonly SungNote[];
  readonly remove: readonly string[];
}

interface Found {
  readonly own: PlacedNote;
  readonly before: PlacedNote | null;
}

const gone = (noteId: string) =>
  fail('The word is not there any more', noteId, 'Look at the page as it is now');

function find(timeline: Timeline, passId: string | null, noteId: string): Found | null {
  for (const notes of timeline.notes.values()) {
    const at = notes.findIndex((one) => one.passId === passId && one.note.id === noteId);
    const own = notes[at];
    if (!own) continue;
    const before = notes[at - 1];
    return { own, before: before && before.passId === passId ? before : null };
  }
  return null;
}

/** The stanzas other than one that have a word on a note. */
const othersOn = (note: SungNote, stanza: number): readonly number[] =>
  note.syllables.flatMap((word, i) => (word !== null && i + 1 !== stanza ? [i + 1] : []));

/** A list of words with one of them changed. */
function withWord(
  words: SungNote['syllables'],
  stanza: number,
  word: Syllable | null,
): SungNote['syllables'] {
  const all = Array.from({ length: Math.max(words.length, stanza) }, (_, i) =>
    i === stanza - 1 ? word : (words[i] ?? null),
  );
  return all.slice(0, all.findLastIndex((one) => one !== null) + 1);
}

/**
 * A new word in the second part of the time in which another is sung. Where other stanzas have words on that note they keep it whole, and
 * the new note is this stanza's alone.
 *
 * @param tick where the new word begins, from the timeline's start
 * @param word what it says
 */
export function splitWord(
  timeline: Timeline,
  passId: string | null,
  noteId: string,
  stanza: number,
  { tick, word, newId }: { readonly tick: number; readonly word: Syllable; readonly newId: string },
): Result<NoteChange> {
  const found = find(timeline, passId, noteId);
  if (!found) return gone(noteId);
  const { note, startTick, endTick } = found.own;
  if (tick - startTick < SHORTEST_NOTE || endTick - tick < SHORTEST_NOTE)
    return fail(
      'There is no room for another word',
      found.own.syllable?.text ?? noteId,
      'Move the word after it first',
    );
  const bar = timeline.barAt(tick);
  const isShared = othersOn(note, stanza).length > 0;
  const made: SungNote = {
    ...note,
    id: newId,
    barId: bar.bar.id,
    offset: tick - bar.startTick,
    ticks: endTick - tick,
    syllables: withWord([], stanza, word),
    stanzas: isShared ? [stanza] : note.stanzas,
  };
  // Its breath and fermata go with its end.
  const first = { ...note, ticks: tick - startTick, breath: false, fermata: false };
  return ok({ put: isShared ? [made] : [first, made], remove: [] });
}

/**
 * A word taken out with the time in which it is sung: the word before is held through it where that one was held up to it, else it is
 * silent. Where other stanzas have words on the note, it stays theirs.
 */
export function dropWord(
  song: Song,
  timeline: Timeline,
  passId: string | null,
  noteId: string,
  stanza: number,
): Result<NoteChange> {
  const found = find(timeline, passId, noteId);
  if (!found) return gone(noteId);
  const { own, before } = found;
  const isHeld = before !== null && before.endTick === own.startTick;
  const held = isHeld ? [{ ...before.note, ticks: own.endTick - before.startTick }] : [];
  if (othersOn(own.note, stanza).length === 0) return ok({ put: held, remove: [noteId] });
  const sung = own.note.stanzas.length > 0 ? own.note.stanzas : stanzasOf(song);
  const kept = {
    ...own.note,
    stanzas: sung.filter((one) => one !== stanza),
    syllables: withWord(own.note.syllables, stanza, null),
  };
  return ok({ put: [...held, kept], remove: [] });
}

/** Every stanza that a song sings, from 1. */
function stanzasOf(song: Song): readonly number[] {
  let most = 1;
  for (const { syllables, stanzas } of song.notes) most = Math.max(most, syllables.length, ...stanzas);
  for (const { stanza } of song.passes) most = Math.max(most, stanza ?? 1);
  return Array.from({ length: most }, (_, i) => i + 1);
}
