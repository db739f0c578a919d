import type * as Y from 'yjs';
import { z } from 'zod';
import { fail, ok, type Result } from '../base';
import {
  chordMarkSchema,
  feelSchema,
  keySchema,
  type PlayerSetting,
  type Song,
  type SungNote,
  type Syllable,
  settingSchema,
  sungNoteSchema,
  syllableSchema,
  tempoSchema,
  type Voice,
  voiceSchema,
} from '../song';
import { badInput, type Done, type EditorOptions, missing } from './editor';
import { joinKey, mapOf, SONG_MAPS, SONG_VERSION } from './layout';
import { readSong } from './read';
import { RoadmapEdits } from './roadmap-edits';
import { storedKey, storedNote, storedSyllable, storedWhole } from './seed';
import { FURTHEST_SHIFT, noteNow, shiftOf, withShift } from './shift';
import { readChord, readNote, readVoice } from './song-items';
import { usualSetting } from './song-reader';

/** A note as an edit gives it: its words are set apart. */
export type NoteFields = Omit<SungNote, 'id' | 'syllables'>;

const titleSchema = z.string().max(200);
const stanzaSchema = z.int().min(1).max(60);
const semitonesSchema = z.int().min(-12).max(12);

/** Every edit of a song, on behalf of one person. Undo, redo and refusals: see `Editor`. */
export class SongEdits extends RoadmapEdits {
  constructor(doc: Y.Doc, options: EditorOptions) {
    super(doc, options, SONG_VERSION, SONG_MAPS);
  }

  setTitle(title: string): Done {
    return this.setMeta('title', titleSchema, title);
  }

  setKey(key: Song['key']): Done {
    return this.checked(keySchema, key, 'the key', (checked) =>
      this.edit('the key', () => {
        this.steps.put('meta', 'key', storedKey(checked, shiftOf(this.doc)));
        return null;
      }),
    );
  }

  /**
   * Moves the whole song up (or down) by semitones: its keys, its chords and its sung notes, and with them whatever others write at the
   * same time. Two people who transpose at once do not add up: one of the two stands.
   *
   * Fills are kept as they are, settled or proposed: the notes in the hand, and in `Fill.chords` the chords that they were made over. A
   * fill whose chords are no longer its space's was made for another key, and a page can say so. Capos stay: they belong to
   * the players.
   *
   * @param semitones from -12 to 12
   */
  transpose(semitones: number): Done {
    return this.checked(semitonesSchema, semitones, 'the transposition', (by) => {
      const shift = shiftOf(this.doc) + by;
      if (Math.abs(shift) > FURTHEST_SHIFT) {
        return fail(
          'The song would stand too far from how it was written',
          `${Math.abs(shift)} semitones`,
          `At most ${FURTHEST_SHIFT} are possible: go the other way`,
        );
      }
      const outside = readSong(this.doc).song.notes.find(
        ({ midi }) => midi !== null && (midi + by < 0 || midi + by > 127),
      );
      if (outside) {
        return fail(
          'A sung note would be out of all hearing',
          `the note ${outside.id}`,
          'Go the other way, or transpose by less',
        );
      }
      return this.edit('transposing', () => {
        this.steps.put('meta', 'shift', shift);
        return null;
      });
    });
  }

  /** Quarter notes a minute; null: not said. */
  setTempo(tempo: number | null): Done {
    return this.setMeta('tempo', tempoSchema.nullable(), tempo);
  }

  setFeel(feel: Song['feel']): Done {
    return this.setMeta('feel', feelSchema, feel);
  }

  /** @param stanza from 1 */
  setSyllable(noteId: string, stanza: number, syllable: Syllable | null): Done {
    if (!mapOf(this.doc, 'notes').has(noteId)) return missing('a word', noteId);
    const place = stanzaSchema.safeParse(stanza);
    if (!place.success) return badInput('the stanza', place.error);
    return this.checked(syllableSchema.nullable(), syllable, 'the word', (word) =>
      this.edit('a word', () => {
        this.steps.put('words', joinKey(noteId, String(stanza)), word ? storedSyllable(word) : undefined);
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
    return this.#putNote('a new note', { ...fields, id: this.makeId(), syllables: [] });
  }

  /** Its words stay in the document without being shown: with undo they are back as they then are. */
  removeNote(noteId: string): Done {
    return this.#takeOut('removing a note', 'notes', noteId);
  }

  /**
   * The chord at a place of a bar: changed where there is one, else put in. Gives its id, which is made from the place, so that
   * two people who put one in at once put in one.
   */
  setChord(barId: string, offset: number, symbol: string): Result<string> {
    const there = [...mapOf(this.doc, 'chords')].find(([id, raw]) => {
      const chord = readChord(raw, id);
      return (
        typeof chord === 'object' && chord.value.value.barId === barId && chord.value.value.offset === offset
      );
    });
    const made = joinKey(barId, String(offset));
    const chord = {
      id: there?.[0] ?? (made.length <= 80 ? made : this.makeId()),
      barId,
      offset,
      symbol: symbol.trim(),
    };
    const parsed = chordMarkSchema.safeParse(chord);
    if (!parsed.success) return badInput('the chord', parsed.error);
    if (chord.symbol === '')
      return fail('The chord has no name', `offset ${offset}`, 'Write its symbol, or remove it');
    const outside = this.outsideBar(barId, offset);
    if (outside) return outside;
    return this.edit('a chord', () => {
      this.steps.put('chords', chord.id, withShift(storedWhole(parsed.data), shiftOf(this.doc)));
      return chord.id;
    });
  }

  removeChord(chordId: string): Done {
    return this.#takeOut('removing a chord', 'chords', chordId);
  }

  /** How a player plays this song. What is left out stays as it is; the first time the instrument must be said. */
  setSetting(playerId: string, fields: Partial<Omit<PlayerSetting, 'playerId'>>): Done {
    const settings = mapOf(this.doc, 'settings');
    const names = Object.keys({ instrument: true, ...usualSetting });
    const before = Object.fromEntries(
      names
        .map((field) => [field, settings.get(joinKey(playerId, field))])
        .filter(([, value]) => value !== undefined),
    );
    const after = settingSchema.safeParse({ ...usualSetting, ...before, ...fields, playerId });
    if (!after.success) return badInput('how the player plays this song', after.error);
    const stored = new Map<string, unknown>(Object.entries(after.data));
    return this.edit('how a player plays this song', () => {
      for (const field of names.filter((name) => name in fields)) {
        this.steps.put('settings', joinKey(playerId, field), stored.get(field));
      }
      return null;
    });
  }

  /** Adds a voice below the others. Gives its id. */
  addVoice(fields: Omit<Voice, 'id'>): Result<string> {
    const parsed = voiceSchema.safeParse({ ...fields, id: this.makeId() });
    if (!parsed.success) return badInput('the voice', parsed.error);
    const others = this.ordered('voices');
    return this.edit('a new voice', () => {
      this.makeAt('voices', parsed.data.id, storedWhole(parsed.data), others, others.length);
      return parsed.data.id;
    });
  }

  setVoice(voiceId: string, fields: Partial<Omit<Voice, 'id'>>): Done {
    const live = this.live('voices', voiceId);
    const before = live ? readVoice(live, voiceId) : null;
    if (before === null || typeof before !== 'object') return missing('a voice', voiceId);
    const after = voiceSchema.safeParse({ ...before.value.value, ...fields, id: voiceId });
    if (!after.success) return badInput('the voice', after.error);
    const stored = storedWhole(after.data);
    const keys = Object.keys(fields).filter((key) => key !== 'id');
    return this.setFields(
      'a voice',
      'voices',
      voiceId,
      Object.fromEntries(keys.map((key) => [key, stored[key]])),
    );
  }

  #putNote(label: string, note: SungNote): Result<string> {
    const parsed = sungNoteSchema.safeParse(note);
    if (!parsed.success) return badInput('the note', parsed.error);
    if (!this.live('voices', note.voiceId)) return missing(label, note.voiceId);
    const outside = this.outsideBar(note.barId, note.offset);
    if (outside) return outside;
    return this.edit(label, () => {
      this.steps.put('notes', note.id, withShift(storedNote(parsed.data), shiftOf(this.doc)));
      return note.id;
    });
  }

  #takeOut(label: string, name: 'notes' | 'chords', id: string): Done {
    if (!mapOf(this.doc, name).has(id)) return missing(label, id);
    return this.edit(label, () => {
      this.steps.put(name, id, undefined);
      return null;
    });
  }
}
