import type * as Y from 'yjs';
import { z } from 'zod';
import { fail, ok, type Result } from '../base';
import {
  chordMarkSchema,
  type Fill,
  feelSchema,
  fillSchema,
  keySchema,
  type PlayerSetting,
  type Song,
  settingSchema,
  type Voice,
  voiceSchema,
} from '../song';
import { badInput, type Done, type EditorOptions, missing } from './editor';
import { KeptEdits } from './kept-edits';
import { joinKey, mapOf, SONG_MAPS, SONG_VERSION } from './layout';
import { readSong } from './read';
import { storedKey, storedWhole, voiceFields } from './seed';
import { FURTHEST_SHIFT, shiftOf, voiceNow, withShift } from './shift';
import { readChord, readVoice } from './song-items';
import { usualSetting } from './song-reader';
import { storedAnswer } from './stored-answer';

const titleSchema = z.string().max(200);
const semitonesSchema = z.int().min(-12).max(12);

/** A song moved to another key: see `moveToKey`. */
export interface KeyMove {
  readonly semitones: number;
  /** Whole settings of the players who are set up anew. */
  readonly settings: readonly PlayerSetting[];
  readonly fills: readonly { readonly answerId: string; readonly fill: Fill }[];
}

/** Every edit of a song, on behalf of one person. Undo, redo and refusals: see `Editor`. */
export class SongEdits extends KeptEdits {
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
    const shift = this.#shifted(semitones);
    if (!shift.ok) return shift;
    return this.edit('transposing', () => {
      this.steps.put('meta', 'shift', shift.value);
      return null;
    });
  }

  /**
   * Moves the whole song to another key in one step: what `transpose` moves, how players are set up for it, and the fills that their capos
   * carry along. Other fills stay as they are: they were made for another key. Answers that are gone are passed over.
   */
  moveToKey({ semitones, settings, fills }: KeyMove): Done {
    const shift = this.#shifted(semitones);
    if (!shift.ok) return shift;
    for (const setting of settings) {
      const parsed = settingSchema.safeParse(setting);
      if (!parsed.success) return badInput('how a player plays this song', parsed.error);
    }
    for (const { fill } of fills) {
      const parsed = fillSchema.safeParse(fill);
      if (!parsed.success) return badInput('a fill', parsed.error);
    }
    const { song } = readSong(this.doc);
    const answers = new Map([...song.settled, ...song.proposals].map((answer) => [answer.id, answer]));
    return this.edit('another key', () => {
      this.steps.put('meta', 'shift', shift.value);
      for (const { playerId, ...fields } of settings) {
        for (const [field, value] of Object.entries(fields))
          this.steps.put('settings', joinKey(playerId, field), value);
      }
      for (const { answerId, fill } of fills) {
        const answer = answers.get(answerId);
        if (answer?.holding.kind !== 'fill') continue;
        const map = mapOf(this.doc, 'settled').has(answerId) ? 'settled' : 'proposals';
        this.steps.put(map, answerId, storedAnswer({ ...answer, holding: { ...answer.holding, fill } }));
      }
      return null;
    });
  }

  /** How far the song then stands from how it was written. */
  #shifted(semitones: number): Result<number> {
    const parsed = semitonesSchema.safeParse(semitones);
    if (!parsed.success) return badInput('the transposition', parsed.error);
    const by = parsed.data;
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
    return ok(shift);
  }

  setFeel(feel: Song['feel']): Done {
    return this.setMeta('feel', feelSchema, feel);
  }

  /**
   * The chord at a place of a bar: changed where there is one, else put in. Gives its id, which is made from the place, so that
   * two people who put one in at once put in one.
   */
  setChord(barId: string, offset: number, symbol: string): Result<string> {
    const id = this.#chordAt(barId, offset) ?? this.#chordId(barId, offset);
    const chord = { id, barId, offset, symbol: symbol.trim() };
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

  /**
   * Moves a chord to another place, where none stands yet. What it is stays as it was written. Gives its new id, which is made from the
   * place as in `setChord`.
   */
  moveChord(chordId: string, barId: string, offset: number): Result<string> {
    const raw = mapOf(this.doc, 'chords').get(chordId);
    const before = readChord(raw, chordId);
    if (typeof before !== 'object') return missing('moving a chord', chordId);
    const { value, shift } = before.value;
    const parsed = chordMarkSchema.safeParse({ ...value, barId, offset });
    if (!parsed.success) return badInput('the chord', parsed.error);
    const outside = this.outsideBar(barId, offset);
    if (outside) return outside;
    if (value.barId === barId && value.offset === offset) return ok(chordId);
    const there = this.#chordAt(barId, offset);
    if (there !== null) {
      return fail('Another chord stands there', value.symbol, 'Take that one out first, or go past it');
    }
    const id = this.#chordId(barId, offset);
    return this.edit('moving a chord', () => {
      this.steps.put('chords', chordId, undefined);
      this.steps.put('chords', id, withShift(storedWhole({ ...parsed.data, id }), shift));
      return id;
    });
  }

  removeChord(chordId: string): Done {
    return this.takeOut('removing a chord', 'chords', chordId);
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

  /** Adds a voice below the others; without a range, none is said. Gives its id. */
  addVoice(fields: Omit<Voice, 'id' | 'range'> & Partial<Pick<Voice, 'range'>>): Result<string> {
    const parsed = voiceSchema.safeParse({ ...fields, id: this.makeId() });
    if (!parsed.success) return badInput('the voice', parsed.error);
    const others = this.ordered('voices');
    return this.edit('a new voice', () => {
      this.makeAt(
        'voices',
        parsed.data.id,
        voiceFields(parsed.data, shiftOf(this.doc)),
        others,
        others.length,
      );
      return parsed.data.id;
    });
  }

  setVoice(voiceId: string, fields: Partial<Omit<Voice, 'id'>>): Done {
    const live = this.live('voices', voiceId);
    const before = live ? readVoice(live, voiceId) : null;
    if (before === null || typeof before !== 'object') return missing('a voice', voiceId);
    const shift = shiftOf(this.doc);
    const now = voiceNow(before.value.value, before.value.rangeShift, shift, undefined);
    const after = voiceSchema.safeParse({ ...now, ...fields, id: voiceId });
    if (!after.success) return badInput('the voice', after.error);
    const stored = voiceFields(after.data, shift);
    const keys = Object.keys(fields).filter((key) => key !== 'id');
    return this.setFields(
      'a voice',
      'voices',
      voiceId,
      Object.fromEntries(keys.map((key) => [key, stored[key]])),
    );
  }

  #chordAt(barId: string, offset: number): string | null {
    const there = [...mapOf(this.doc, 'chords')].find(([id, raw]) => {
      const chord = readChord(raw, id);
      return (
        typeof chord === 'object' && chord.value.value.barId === barId && chord.value.value.offset === offset
      );
    });
    return there?.[0] ?? null;
  }

  /** Made from the place, so that two people who put a chord in at once put in one; another where a chord elsewhere has it. */
  #chordId(barId: string, offset: number): string {
    const made = joinKey(barId, String(offset));
    return made.length <= 80 && !mapOf(this.doc, 'chords').has(made) ? made : this.makeId();
  }
}
