import { z } from 'zod';
import { ok, type Result } from '../base';
import { type ChordMark, type SungNote, type Syllable, sungNoteSchema, syllableSchema } from '../song';
import { badInput, type Done, missing } from './editor';
import { joinKey, mapOf, splitKey } from './layout';
import { PhraseEdits } from './phrase-edits';
import { storedNote, storedSyllable, storedWhole } from './seed';
import { noteNow, shiftOf, withShift } from './shift';
import { readChord, readNote } from './song-items';

/** A note as an edit gives it: its words are set apart. Without `stanzas` it is sung in every one. */
export type NoteFields = Omit<SungNote, 'id' | 'syllables' | 'stanzas'> & Partial<Pick<SungNote, 'stanzas'>>;

/** Sung notes as they are to be, whole, with all their words; and those that nobody sings any more. */
export interface SungChange {
  readonly put: readonly SungNote[];
  readonly remove: readonly string[];
  /** Chords that come to stand elsewhere. */
  readonly chords?: readonly Omit<ChordMark, 'symbol'>[];
  /** The section whose chords are no longer a guess: somebody has looked at where they stand. */
  readonly chordsKnownIn?: string;
}

const stanzaSchema = z.int().min(1).max(60);

/** Edits of sung notes and their words. */
export class SungEdits extends PhraseEdits {
  /** @param stanza from 1 */
  setSyllable(noteId: string, stanza: number, syllable: Syllable | null): Done {
    if (!mapOf(this.doc, 'notes').has(noteId)) return missing('a word', noteId);
    const place = stanzaSchema.safeParse(stanza);
    if (!place.success) return badInput('the stanza', place.error);
    return this.checked(syllableSchema.nullable(), syllable, 'the word', (word) =>
      this.edit('a word', () => {
        this.#putWord(noteId, stanza, word);
        return null;
      }),
    );
  }

  setNote(noteId: string, fields: Partial<NoteFields>): Done {
    const before = readNote(mapOf(this.doc, 'notes').get(noteId), noteId);
    if (typeof before !== 'object') return missing('a note', noteId);
    const put = this.#putNote('a note', { ...noteNow(before.value, shiftOf(this.doc)), ...fields });
    return put.ok ? ok(null) : put;
  }

  /** Gives the note's id. */
  addNote(fields: NoteFields): Result<string> {
    return this.#putNote('a new note', { stanzas: [], ...fields, id: this.makeId(), syllables: [] });
  }

  /** Its words stay in the document without being shown: with undo they are back as they then are. */
  removeNote(noteId: string): Done {
    return this.takeOut('removing a note', 'notes', noteId);
  }

  /**
   * Puts several notes with their words, new or changed, and takes others out: all of it or nothing, and one step of undo.
   * A word that stays as it is is not written, so that one which somebody else changes meanwhile stands. A chord keeps its id where it
   * goes, so that two people who move it at once neither lose nor double it; what it is stays as it was written.
   *
   * @param label what was done, in words, for undo
   */
  putSung(label: string, { put, remove, chords = [], chordsKnownIn }: SungChange): Done {
    for (const note of put) {
      const refused = this.#refusedNote(label, note);
      if (refused) return refused;
    }
    for (const { id, barId, offset } of chords) {
      const known = typeof readChord(mapOf(this.doc, 'chords').get(id), id) === 'object';
      const refused = known ? this.outsideBar(barId, offset) : missing(label, id);
      if (refused) return refused;
    }
    const notes = mapOf(this.doc, 'notes');
    const gone = remove.find((id) => !notes.has(id));
    if (gone !== undefined) return missing(label, gone);
    const words = this.#wordKeys(put);
    return this.edit(label, () => {
      for (const id of remove) this.steps.put('notes', id, undefined);
      for (const note of put) {
        this.#writeNote(note);
        note.syllables.forEach((word, i) => {
          this.#putWord(note.id, i + 1, word);
        });
        for (const stanza of words.get(note.id) ?? [])
          if (stanza > note.syllables.length) this.#putWord(note.id, stanza, null);
      }
      for (const move of chords) this.#moveChord(move);
      if (chordsKnownIn !== undefined)
        this.steps.putIn('sections', chordsKnownIn, 'chordsGuessed', undefined);
      return null;
    });
  }

  #moveChord(move: Omit<ChordMark, 'symbol'>): void {
    const before = readChord(mapOf(this.doc, 'chords').get(move.id), move.id);
    if (typeof before !== 'object') return;
    const { value, shift } = before.value;
    this.steps.put('chords', move.id, withShift(storedWhole({ ...value, ...move }), shift));
  }

  /** The stanzas for which each of some notes has a word now. */
  #wordKeys(put: readonly SungNote[]): ReadonlyMap<string, readonly number[]> {
    const stanzas = new Map<string, number[]>(put.map(({ id }) => [id, []]));
    for (const key of mapOf(this.doc, 'words').keys()) {
      const parts = splitKey(key);
      if (parts) stanzas.get(parts[0])?.push(Number(parts[1]));
    }
    return stanzas;
  }

  #putWord(noteId: string, stanza: number, word: Syllable | null): void {
    this.steps.put('words', joinKey(noteId, String(stanza)), word ? storedSyllable(word) : undefined);
  }

  /** Why a note cannot stand as it is; null: it can. */
  #refusedNote(label: string, note: SungNote) {
    const parsed = sungNoteSchema.safeParse(note);
    if (!parsed.success) return badInput('the note', parsed.error);
    if (!this.live('voices', note.voiceId)) return missing(label, note.voiceId);
    return this.outsideBar(note.barId, note.offset);
  }

  #putNote(label: string, note: SungNote): Result<string> {
    return (
      this.#refusedNote(label, note) ??
      this.edit(label, () => {
        this.#writeNote(note);
        return note.id;
      })
    );
  }

  #writeNote(note: SungNote): void {
    this.steps.put('notes', note.id, withShift(storedNote(note), shiftOf(this.doc)));
  }
}
