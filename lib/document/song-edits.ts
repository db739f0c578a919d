import type * as Y from 'yjs';
import { z } from 'zod';
import { fail, ok, type Result } from '../base';
import {
  type Bar,
  barSchema,
  chordMarkSchema,
  feelSchema,
  keySchema,
  type Pass,
  type PlayerSetting,
  passSchema,
  type Role,
  roleSchema,
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
import { AnswerEdits } from './answer-edits';
import { badInput, type Done, type EditorOptions, missing } from './editor';
import { joinKey, mapOf, roleKey, SONG_MAPS, SONG_VERSION } from './layout';
import { barFields, passFields, storedNote, storedSyllable, storedWhole } from './seed';
import { readBar, readChord, readNote, readPass, readVoice } from './song-items';
import { usualSetting } from './song-reader';

/** A note as an edit gives it: its words are set apart. */
export type NoteFields = Omit<SungNote, 'id' | 'syllables'>;

const nameSchema = z.string().max(80);
const titleSchema = z.string().max(200);
const stanzaSchema = z.int().min(1).max(60);

/** Every edit of a song, on behalf of one person. Undo, redo and refusals: see `Editor`. */
export class SongEdits extends AnswerEdits {
  constructor(doc: Y.Doc, options: EditorOptions) {
    super(doc, options, SONG_VERSION, SONG_MAPS);
  }

  setTitle(title: string): Done {
    return this.setMeta('title', titleSchema, title);
  }

  setKey(key: Song['key']): Done {
    return this.setMeta('key', keySchema, key);
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
    const put = this.#putNote('a note', { ...before.value, ...fields });
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
      return typeof chord === 'object' && chord.value.barId === barId && chord.value.offset === offset;
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
    const outside = this.#outsideBar(barId, offset);
    if (outside) return outside;
    return this.edit('a chord', () => {
      this.steps.put('chords', chord.id, storedWhole(parsed.data));
      return chord.id;
    });
  }

  removeChord(chordId: string): Done {
    return this.#takeOut('removing a chord', 'chords', chordId);
  }

  setBar(barId: string, fields: Partial<Omit<Bar, 'id'>>): Done {
    const live = this.live('bars', barId);
    const before = live ? readBar(live, barId) : null;
    if (before === null || typeof before !== 'object') return missing('a bar', barId);
    const after = barSchema.safeParse({ ...before.value.value, ...fields, id: barId });
    if (!after.success) return badInput('the bar', after.error);
    const stored = barFields(after.data);
    const keys = Object.keys(fields).filter((key) => key !== 'id');
    return this.setFields('a bar', 'bars', barId, Object.fromEntries(keys.map((key) => [key, stored[key]])));
  }

  /** @param afterBarId null: at the section's start. Gives the new bar's id; nothing else moves from its bar. */
  insertBar(sectionId: string, afterBarId: string | null, bar: Omit<Bar, 'id'>): Result<string> {
    if (!this.live('sections', sectionId)) return missing('a new bar', sectionId);
    const others = this.ordered('bars', (fields) => fields.get('sectionId') === sectionId);
    const index = afterBarId === null ? 0 : others.findIndex((other) => other.id === afterBarId) + 1;
    if (afterBarId !== null && index === 0) return missing('a new bar', afterBarId);
    const parsed = barSchema.safeParse({ ...bar, id: this.makeId() });
    if (!parsed.success) return badInput('the bar', parsed.error);
    const { id } = parsed.data;
    return this.edit('a bar put in', () => {
      this.makeAt('bars', id, { sectionId, ...barFields(parsed.data) }, others, index);
      return id;
    });
  }

  /** What hangs on it stays and is hidden with it. */
  removeBar(barId: string): Done {
    return this.remove('removing a bar', 'bars', barId);
  }

  /** Adds an empty section after the others. Gives its id. */
  addSection(name: string): Result<string> {
    const parsed = nameSchema.safeParse(name);
    if (!parsed.success) return badInput('the name', parsed.error);
    const id = this.makeId();
    const others = this.ordered('sections');
    return this.edit('a new section', () => {
      this.makeAt('sections', id, { name }, others, others.length);
      return id;
    });
  }

  renameSection(sectionId: string, name: string): Done {
    return this.checked(nameSchema, name, 'the name', (checked) =>
      this.setFields('a section’s name', 'sections', sectionId, { name: checked }),
    );
  }

  /** Its bars and passes stay and are hidden with it. */
  removeSection(sectionId: string): Done {
    return this.remove('removing a section', 'sections', sectionId);
  }

  /** @param toIndex among the passes; left out: at the end. Gives the new pass's id. */
  addPass(fields: Pick<Pass, 'sectionId'> & Partial<Omit<Pass, 'id'>>, toIndex?: number): Result<string> {
    const pass = { stanza: null, ending: 1, name: '', roles: {}, ...fields, id: this.makeId() };
    const parsed = passSchema.safeParse(pass);
    if (!parsed.success) return badInput('the pass', parsed.error);
    if (!this.live('sections', pass.sectionId)) return missing('a new pass', pass.sectionId);
    const others = this.#passes();
    return this.edit('a new pass', () => {
      this.makeAt('passes', pass.id, passFields(parsed.data), others, toIndex ?? others.length);
      return pass.id;
    });
  }

  /** @param toIndex where it stands afterwards, from 0 */
  movePass(passId: string, toIndex: number): Done {
    return this.moveAt('moving a pass', 'passes', passId, this.#passes(), toIndex);
  }

  /** Roles are set one by one: `setRole`. */
  setPass(passId: string, fields: Partial<Omit<Pass, 'id' | 'roles'>>): Done {
    const live = this.live('passes', passId);
    const before = live ? readPass(live, passId) : null;
    if (before === null || typeof before !== 'object') return missing('a pass', passId);
    if (fields.sectionId !== undefined && !this.live('sections', fields.sectionId)) {
      return missing('a pass', fields.sectionId);
    }
    const after = passSchema.safeParse({ ...before.value.value, ...fields, id: passId, roles: {} });
    if (!after.success) return badInput('the pass', after.error);
    const stored = passFields(after.data);
    const keys = Object.keys(fields).filter((key) => key !== 'id' && key !== 'roles');
    return this.setFields(
      'a pass',
      'passes',
      passId,
      Object.fromEntries(keys.map((key) => [key, stored[key]])),
    );
  }

  removePass(passId: string): Done {
    return this.remove('removing a pass', 'passes', passId);
  }

  /** @param role null: none, and the player plays backup */
  setRole(passId: string, playerId: string, role: Role | null): Done {
    return this.checked(roleSchema.nullable(), role, 'the role', (checked) =>
      this.setFields('a role', 'passes', passId, { [roleKey(playerId)]: checked ?? undefined }),
    );
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

  #passes() {
    return this.ordered(
      'passes',
      (fields) => this.live('sections', String(fields.get('sectionId'))) !== null,
    );
  }

  #putNote(label: string, note: SungNote): Result<string> {
    const parsed = sungNoteSchema.safeParse(note);
    if (!parsed.success) return badInput('the note', parsed.error);
    if (!this.live('voices', note.voiceId)) return missing(label, note.voiceId);
    const outside = this.#outsideBar(note.barId, note.offset);
    if (outside) return outside;
    return this.edit(label, () => {
      this.steps.put('notes', note.id, storedNote(parsed.data));
      return note.id;
    });
  }

  /** Why nothing can hang there; null: it can. */
  #outsideBar(barId: string, offset: number): ReturnType<typeof fail> | null {
    const live = this.live('bars', barId);
    const bar = live ? readBar(live, barId) : null;
    if (bar === null || typeof bar !== 'object') return missing('a place in a bar', barId);
    const { ticks } = bar.value.value;
    return offset < ticks
      ? null
      : fail(
          'The place lies behind the end of its bar',
          `${offset} of ${ticks} ticks`,
          'Put it into the next bar',
        );
  }

  #takeOut(label: string, name: 'notes' | 'chords', id: string): Done {
    if (!mapOf(this.doc, name).has(id)) return missing(label, id);
    return this.edit(label, () => {
      this.steps.put(name, id, undefined);
      return null;
    });
  }
}
