import type { PhraseEnd, PlacedNote, Timeline } from '../song';
import type { DecidedEnds } from './cut';

/** As written, the words of the first stanza stand under the notes. */
const WRITTEN_STANZA = 1;

/** What people decided about the end of a phrase after each note; a word for the stanza that is sung goes before one for all. */
export function decidedEnds(timeline: Timeline, notes: readonly PlacedNote[]): DecidedEnds {
  const decided = new Int8Array(notes.length);
  const { phraseEnds, passes } = timeline.song;
  if (phraseEnds.length === 0) return decided;
  const byNote = new Map<string, PhraseEnd[]>();
  for (const each of phraseEnds) byNote.set(each.noteId, [...(byNote.get(each.noteId) ?? []), each]);
  const stanzas = new Map(passes.map((pass) => [pass.id, pass.stanza]));
  notes.forEach(({ note, passId }, i) => {
    const said = byNote.get(note.id);
    if (!said) return;
    const stanza = passId === null ? WRITTEN_STANZA : (stanzas.get(passId) ?? null);
    const word =
      said.find((each) => each.stanza !== null && each.stanza === stanza) ??
      said.find((each) => each.stanza === null);
    if (word) decided[i] = word.ends ? 1 : -1;
  });
  return decided;
}
