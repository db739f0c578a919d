import { ok } from '../base';
import { type Song, type SungNote, sungNoteSchema, tempoSchema } from '../song';
import { badInput, type Done, missing } from './editor';
import { joinKey, mapOf } from './layout';
import { readSong } from './read';
import { RoadmapEdits } from './roadmap-edits';
import { storedNote, storedSyllable } from './seed';
import { shiftOf, withShift } from './shift';

/** What a tapped pass changes: sung notes whole, with all their words; notes that are sung no more; the tempo, where it was tapped too. */
export interface SungPass {
  readonly put: readonly SungNote[];
  readonly remove: readonly string[];
  readonly tempo?: number;
  readonly tempoRange?: Song['tempoRange'];
}

/** Edits that lay a whole pass at once. */
export class TapEdits extends RoadmapEdits {
  /** Takes in a tapped pass: one transaction, and one step to take back. What somebody else changed meanwhile in the same notes stands or falls with the later. */
  laySung({ put, remove, tempo, tempoRange }: SungPass): Done {
    for (const note of put) {
      const parsed = sungNoteSchema.safeParse(note);
      if (!parsed.success) return badInput('the note', parsed.error);
      if (!this.live('voices', note.voiceId)) return missing('a tapped note', note.voiceId);
      const outside = this.outsideBar(note.barId, note.offset);
      if (outside) return outside;
    }
    const asked = tempoSchema.optional().safeParse(tempo);
    if (!asked.success) return badInput('the tempo', asked.error);
    const before = new Map(readSong(this.doc).song.notes.map((note) => [note.id, note]));
    const done = this.edit('a tapped pass', () => {
      const shift = shiftOf(this.doc);
      for (const note of put) {
        this.steps.put('notes', note.id, withShift(storedNote(note), shift));
        const stanzas = Math.max(note.syllables.length, before.get(note.id)?.syllables.length ?? 0);
        for (let i = 0; i < stanzas; i++) {
          const word = note.syllables[i];
          this.steps.put('words', joinKey(note.id, String(i + 1)), word ? storedSyllable(word) : undefined);
        }
      }
      for (const id of remove) if (mapOf(this.doc, 'notes').has(id)) this.steps.put('notes', id, undefined);
      if (tempo !== undefined) this.steps.put('meta', 'tempo', tempo);
      if (tempoRange !== undefined) this.steps.put('meta', 'tempoRange', tempoRange ?? undefined);
      return null;
    });
    return done.ok ? ok(null) : done;
  }
}
