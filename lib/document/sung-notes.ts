import type * as Y from 'yjs';
import type { SungNote } from '../song';
import { mapOf } from './layout';
import { Shelf, share } from './shelf';
import { noteNow, type Written } from './shift';
import { readNote, readWord } from './song-items';

type Syllables = SungNote['syllables'];

interface Sung {
  readonly stored: Written<SungNote>;
  readonly note: SungNote;
}

/** The notes of a document with their words, which are stored apart from them. A note keeps its identity while neither changes. */
export class SungNotes {
  readonly #notes;
  readonly #words;
  #syllables: ReadonlyMap<string, Syllables> = new Map();
  #sung = new Map<string, Sung>();
  #shift = 0;

  constructor(doc: Y.Doc) {
    this.#notes = new Shelf(mapOf(doc, 'notes'), readNote);
    this.#words = new Shelf(mapOf(doc, 'words'), readWord);
  }

  get brokenNotes(): ReadonlySet<string> {
    return this.#notes.broken;
  }

  get brokenWords(): ReadonlySet<string> {
    return this.#words.broken;
  }

  /** Reads what changed, under the song's shift; true where that changed anything. */
  refresh(shift: number): boolean {
    const words = this.#words.refresh();
    if (words) this.#syllables = this.#wordsByNote();
    const notes = this.#notes.refresh();
    const shifted = shift !== this.#shift;
    if (!words && !notes && !shifted) return false;
    this.#shift = shift;
    const sung = new Map<string, Sung>();
    for (const [id, stored] of this.#notes.values) {
      const before = this.#sung.get(id);
      const syllables = this.#syllables.get(id) ?? stored.value.syllables;
      const same = !shifted && before?.stored === stored && before.note.syllables === syllables;
      sung.set(id, same ? before : { stored, note: { ...noteNow(stored, shift), syllables } });
    }
    this.#sung = sung;
    return true;
  }

  *all(): Iterable<SungNote> {
    for (const { note } of this.#sung.values()) yield note;
  }

  #wordsByNote(): ReadonlyMap<string, Syllables> {
    const sparse = new Map<string, (Syllables[number] | undefined)[]>();
    for (const { noteId, stanza, syllable } of this.#words.values.values()) {
      const there = sparse.get(noteId);
      if (there) there[stanza - 1] = syllable;
      else sparse.set(noteId, at(stanza, syllable));
    }
    const words = new Map<string, Syllables>();
    for (const [noteId, syllables] of sparse) {
      const full = Array.from(syllables, (syllable) => syllable ?? null);
      words.set(noteId, share(this.#syllables.get(noteId), full));
    }
    return words;
  }
}

/** Words of one stanza, from 1; those before it are empty. */
function at(stanza: number, syllable: Syllables[number]): (Syllables[number] | undefined)[] {
  const syllables: (Syllables[number] | undefined)[] = [];
  syllables[stanza - 1] = syllable;
  return syllables;
}
