import type * as Y from 'yjs';
import { z } from 'zod';
import { fail, type Result } from '../base';
import {
  type BandSettings,
  bandSettingsSchema,
  type Figure,
  figureSchema,
  NEW_BAND,
  type Player,
  playerSchema,
  type Remark,
  remarkSchema,
  type SetEntry,
  type SongEntry,
  type SongPair,
  setEntrySchema,
  songEntrySchema,
  USUAL_ENTRY,
} from '../song';
import { arranged, placesFor } from './arrange';
import { readFigure, readPlayer } from './band-reader';
import { BringInEdits } from './bring-in-edits';
import { badInput, type Done, type EditorOptions, missing } from './editor';
import { BAND_MAPS, BAND_VERSION, itemOf, joinThree, mapOf } from './layout';
import { playerFields, setEntryFields, songEntryFields, storedFigure, storedWhole } from './seed';

const nameSchema = z.string().trim().min(1).max(120);
const secondsSchema = z.number().min(0).nullable();
const noteSchema = z.string().max(500);

/** Every edit of a band, on behalf of one person. Undo, redo and refusals: see `Editor`. */
export class BandEdits extends BringInEdits {
  constructor(doc: Y.Doc, options: EditorOptions) {
    super(doc, options, BAND_VERSION, BAND_MAPS);
  }

  rename(name: string): Done {
    return this.setMeta('name', nameSchema, name);
  }

  /**
   * Gives the new player's id.
   *
   * @param id where one was made for them already: what is theirs in songs goes by it
   */
  addPlayer(fields: Omit<Player, 'id'>, id: string = this.makeId()): Result<string> {
    const parsed = playerSchema.safeParse({ ...fields, id });
    if (!parsed.success) return badInput('the player', parsed.error);
    if (itemOf(this.doc, 'players', id))
      return fail('The player is in the band already', id, 'Look at the band as it is now');
    const others = this.ordered('players');
    if (others.length >= 60)
      return fail('The band has 60 players', 'players', 'Remove one who does not play any more');
    return this.edit('a new player', () => {
      this.makeAt('players', parsed.data.id, playerFields(parsed.data), others, others.length);
      return parsed.data.id;
    });
  }

  setPlayer(playerId: string, fields: Partial<Omit<Player, 'id'>>): Done {
    const live = this.live('players', playerId);
    const before = live ? readPlayer(live, playerId) : null;
    if (before === null || typeof before !== 'object') return missing('a player', playerId);
    const after = playerSchema.safeParse({ ...before.value.value, ...fields, id: playerId });
    if (!after.success) return badInput('the player', after.error);
    const stored = playerFields(after.data);
    const keys = Object.keys(fields).filter((key) => key !== 'id');
    return this.setFields(
      'a player',
      'players',
      playerId,
      Object.fromEntries(keys.map((key) => [key, stored[key]])),
    );
  }

  /** What the player said and settled in songs stays. */
  removePlayer(playerId: string): Done {
    return this.remove('removing a player', 'players', playerId);
  }

  /** @param toIndex where the player stands afterwards, from 0 */
  movePlayer(playerId: string, toIndex: number): Done {
    return this.moveAt('moving a player', 'players', playerId, this.ordered('players'), toIndex);
  }

  /** Adds a song to the band's list, or brings back one that was removed from it. */
  addSong(entry: Pick<SongEntry, 'id' | 'title'>): Done {
    const parsed = songEntrySchema.safeParse(entry);
    if (!parsed.success) return badInput('the song', parsed.error);
    if (this.live('songs', entry.id))
      return fail('The song is in the list already', entry.id, 'Open it there');
    const others = this.ordered('songs');
    return this.edit('a new song', () => {
      if (itemOf(this.doc, 'songs', entry.id)) {
        this.steps.putIn('songs', entry.id, 'removed', undefined);
        this.steps.putIn('songs', entry.id, 'title', entry.title);
      } else {
        this.makeAt('songs', entry.id, { title: entry.title }, others, others.length);
      }
      return null;
    });
  }

  renameSong(songId: string, title: string): Done {
    return this.checked(z.string().max(200), title, 'the title', (checked) =>
      this.setFields('a song’s title', 'songs', songId, { title: checked }),
    );
  }

  /** What the song asks of a crowd, and whether it is put away. */
  setSong(songId: string, fields: Partial<Pick<SongEntry, 'energy' | 'archived'>>): Done {
    const parsed = songEntrySchema.safeParse({ id: songId, title: '', ...fields });
    if (!parsed.success) return badInput('the song', parsed.error);
    const stored = songEntryFields(parsed.data);
    const keys = (['energy', 'archived'] as const).filter((key) => key in fields);
    const changed = Object.fromEntries(keys.map((key) => [key, stored[key]]));
    return this.setFields('a song', 'songs', songId, changed);
  }

  moveSong(songId: string, toIndex: number): Done {
    return this.moveAt('moving a song', 'songs', songId, this.ordered('songs'), toIndex);
  }

  /** The song's own document stays; sets do not show it. */
  removeSong(songId: string): Done {
    return this.remove('removing a song', 'songs', songId);
  }

  /** Gives the new set's id. */
  addSet(name: string, targetSeconds: number | null = null): Result<string> {
    const parsed = nameSchema.safeParse(name);
    if (!parsed.success) return badInput('the name', parsed.error);
    const seconds = secondsSchema.safeParse(targetSeconds);
    if (!seconds.success) return badInput('the time', seconds.error);
    const id = this.makeId();
    const others = this.ordered('sets');
    return this.edit('a new set', () => {
      const fields = targetSeconds === null ? {} : { targetSeconds };
      this.makeAt('sets', id, { name: parsed.data, ...fields }, others, others.length);
      return id;
    });
  }

  renameSet(setId: string, name: string): Done {
    return this.checked(nameSchema, name, 'the name', (checked) =>
      this.setFields('a set’s name', 'sets', setId, { name: checked }),
    );
  }

  /** The time promised, in seconds; null: not said. */
  setTarget(setId: string, seconds: number | null): Done {
    return this.checked(secondsSchema, seconds, 'the time', (checked) =>
      this.setFields('a set’s time', 'sets', setId, { targetSeconds: checked ?? undefined }),
    );
  }

  moveSet(setId: string, toIndex: number): Done {
    return this.moveAt('moving a set', 'sets', setId, this.ordered('sets'), toIndex);
  }

  removeSet(setId: string): Done {
    return this.remove('removing a set', 'sets', setId);
  }

  /** @param toIndex among the set's entries; left out: at the end. Gives the entry's id. */
  addToSet(setId: string, songId: string, toIndex?: number): Result<string> {
    const entry = setEntrySchema.safeParse({ ...USUAL_ENTRY, id: this.makeId(), songId });
    if (!entry.success) return badInput('the song', entry.error);
    if (!this.live('sets', setId)) return missing('a song in a set', setId);
    if (!this.live('songs', songId)) return missing('a song in a set', songId);
    const others = this.#entries(setId);
    const { id } = entry.data;
    return this.edit('a song in a set', () => {
      this.makeAt('entries', id, { setId, songId }, others, toIndex ?? others.length);
      return id;
    });
  }

  /** @param toIndex where the entry stands in its set afterwards, from 0 */
  moveInSet(entryId: string, toIndex: number): Done {
    const setId = this.live('entries', entryId)?.get('setId');
    return this.moveAt('moving a song in a set', 'entries', entryId, this.#entries(setId), toIndex);
  }

  /**
   * Puts a set's entries in an order, as one step: as few of them are moved as can be, so that what others move meanwhile stays moved.
   * Entries that are not named stay behind those before them; names of entries that are gone are passed over. Breaks stay at their places.
   */
  arrangeSet(setId: string, entryIds: readonly string[]): Done {
    if (!this.live('sets', setId)) return missing('the order of a set', setId);
    const before = this.#entries(setId);
    const wanted = arranged(
      before.map(({ id }) => id),
      entryIds,
    );
    return this.edit('the order of a set', () => {
      for (const { id, position } of placesFor(before, wanted))
        this.steps.putIn('entries', id, 'position', position);
      const breaks = before.map(({ id }) => this.live('entries', id)?.get('breakAfter') === true);
      wanted.forEach((id, i) => {
        const now = this.live('entries', id)?.get('breakAfter') === true;
        if (now !== breaks[i]) this.steps.putIn('entries', id, 'breakAfter', breaks[i] ? true : undefined);
      });
      return null;
    });
  }

  /** Takes out entries in one step; those that are gone already are passed over. */
  removeFromSet(...entryIds: readonly string[]): Done {
    const [first, ...others] = entryIds.filter((id) => this.live('entries', id));
    if (first === undefined) return missing('removing a song from a set', entryIds.join(', '));
    return others.length === 0
      ? this.remove('removing a song from a set', 'entries', first)
      : this.edit('removing songs from a set', () => {
          for (const id of [first, ...others]) this.steps.putIn('entries', id, 'removed', true);
          return null;
        });
  }

  /** What is to be said or done there, in the band's words. */
  setEntryNote(entryId: string, note: string): Done {
    return this.checked(noteSchema, note, 'the note', (checked) =>
      this.setFields('a note in a set', 'entries', entryId, { note: checked === '' ? undefined : checked }),
    );
  }

  setEntry(entryId: string, fields: Partial<Omit<SetEntry, 'id' | 'songId'>>): Done {
    const parsed = setEntrySchema.safeParse({ ...USUAL_ENTRY, ...fields, id: entryId, songId: entryId });
    if (!parsed.success) return badInput('a song in a set', parsed.error);
    const stored = setEntryFields(parsed.data);
    const keys = Object.keys(USUAL_ENTRY).filter((key) => key in fields);
    const changed = Object.fromEntries(keys.map((key) => [key, stored[key]]));
    return this.setFields('a song in a set', 'entries', entryId, changed);
  }

  /** Whether two songs are wanted next to each other in a set, or not so; null takes it back. */
  setPair(setId: string, songs: SongPair['songs'], wanted: SongPair['wanted'] | null): Done {
    if (!this.live('sets', setId)) return missing('a pair of songs', setId);
    const [first, second] = songs;
    for (const song of songs) if (!this.live('songs', song)) return missing('a pair of songs', song);
    if (first === second) return fail('A pair needs two songs', first, 'Choose another song');
    const key = first < second ? joinThree(setId, first, second) : joinThree(setId, second, first);
    return this.edit('a pair of songs', () => {
      this.steps.put('pairs', key, wanted ?? undefined);
      return null;
    });
  }

  /** Who leads, one microphone with its times and places, votes, the share left open. */
  setSettings(fields: Partial<BandSettings>): Done {
    const parsed = bandSettingsSchema.safeParse({ ...NEW_BAND, ...fields });
    if (!parsed.success) return badInput('the band’s settings', parsed.error);
    const stored = Object.entries(parsed.data).filter(([field]) => field in fields);
    return this.edit('the band’s settings', () => {
      for (const [field, value] of stored) this.steps.put('meta', field, value);
      return null;
    });
  }

  /** A figure of a player's own. Gives its id. */
  addFigure(fields: Omit<Figure, 'id'>): Result<string> {
    const parsed = figureSchema.safeParse({ ...fields, id: this.makeId() });
    if (!parsed.success) return badInput('the figure', parsed.error);
    if (!this.live('players', fields.playerId)) return missing('a new figure', fields.playerId);
    return this.edit('a new figure', () => {
      this.steps.put('figures', parsed.data.id, storedFigure(parsed.data));
      return parsed.data.id;
    });
  }

  renameFigure(figureId: string, name: string): Done {
    const before = readFigure(mapOf(this.doc, 'figures').get(figureId), figureId);
    if (typeof before !== 'object') return missing('a figure’s name', figureId);
    const after = figureSchema.safeParse({ ...before.value, name });
    if (!after.success) return badInput('the name', after.error);
    return this.edit('a figure’s name', () => {
      this.steps.put('figures', figureId, storedFigure(after.data));
      return null;
    });
  }

  removeFigure(figureId: string): Done {
    return this.takeOut('removing a figure', 'figures', figureId);
  }

  /** A line about a song after a gig, in this person's name. Gives its id. */
  addRemark(fields: Pick<Remark, 'songId' | 'text' | 'solid'>): Result<string> {
    const remark = { ...fields, text: fields.text.trim(), id: this.makeId(), by: this.by, at: this.now() };
    const parsed = remarkSchema.safeParse(remark);
    if (!parsed.success) return badInput('the remark', parsed.error);
    if (!this.live('songs', fields.songId)) return missing('a remark', fields.songId);
    return this.edit('a remark', () => {
      this.steps.put('remarks', remark.id, storedWhole(parsed.data));
      return remark.id;
    });
  }

  removeRemark(remarkId: string): Done {
    return this.takeOut('removing a remark', 'remarks', remarkId);
  }

  /** The entries that are shown: those whose song is in the band's list. */
  #entries(setId: unknown) {
    return this.ordered(
      'entries',
      (fields) => fields.get('setId') === setId && this.live('songs', String(fields.get('songId'))) !== null,
    );
  }
}
