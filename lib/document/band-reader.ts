import type * as Y from 'yjs';
import { z } from 'zod';
import {
  type Band,
  type Player,
  playerSchema,
  type SetEntry,
  type SetList,
  type SongEntry,
  setEntrySchema,
  songEntrySchema,
} from '../song';
import { BAND_VERSION, type BandMap, mapOf, versionOf } from './layout';
import { byPosition, compare } from './order';
import { fieldsOf, type Read, Shelf, share, shareFields, whole } from './shelf';
import { type Placed, placed, readRaw } from './song-items';

/** A band as it was read; as `SongReading`. */
export interface BandReading {
  readonly band: Band;
  /** A sentence for each thing that is in the document and not in the band, though nobody removed it. */
  readonly broken: readonly string[];
  readonly readOnly: boolean;
}

interface PlacedEntry extends Placed<SetEntry> {
  readonly setId: string;
}

const setSchema: z.ZodType<SetList> = z.object({
  id: z.string().min(1).max(80),
  name: z.string().max(120),
  targetSeconds: z.number().min(0).nullable(),
  entries: z.array(setEntrySchema),
});

export const readPlayer = (raw: unknown, id: string): Read<Placed<Player>> =>
  placed(raw, id, (fields) =>
    whole(playerSchema, { comfortEighthsPerMinute: null, spanMillimetres: null, ...fields, id }),
  );

const readSongEntry = (raw: unknown, id: string): Read<Placed<SongEntry>> =>
  placed(raw, id, (fields) => whole(songEntrySchema, { ...fields, id }));

const readSet = (raw: unknown, id: string): Read<Placed<SetList>> =>
  placed(raw, id, (fields) => whole(setSchema, { targetSeconds: null, ...fields, id, entries: [] }));

function readEntry(raw: unknown, id: string): Read<PlacedEntry> {
  const entry = placed(raw, id, (fields) => whole(setEntrySchema, { note: '', ...fields, id }));
  const setId = fieldsOf(raw)?.setId;
  if (typeof entry !== 'object') return entry;
  return typeof setId === 'string' ? { value: { ...entry.value, setId } } : 'broken';
}

/** As `SongReader`, for a band. */
export class BandReader {
  readonly #doc: Y.Doc;
  readonly #meta;
  readonly #players;
  readonly #songs;
  readonly #sets;
  readonly #entries;
  #last: BandReading | undefined;

  constructor(doc: Y.Doc) {
    this.#doc = doc;
    const shelf = <T>(name: BandMap, read: (raw: unknown, key: string) => Read<T>) =>
      new Shelf(mapOf(doc, name), read);
    this.#meta = shelf('meta', readRaw);
    this.#players = shelf('players', readPlayer);
    this.#songs = shelf('songs', readSongEntry);
    this.#sets = shelf('sets', readSet);
    this.#entries = shelf('entries', readEntry);
  }

  /** The band as it is now; the very same object where nothing changed. Not for use inside a transaction. */
  read(): BandReading {
    const shelves = [this.#meta, this.#players, this.#songs, this.#sets, this.#entries];
    const changed = shelves.map((shelf) => shelf.refresh()).includes(true);
    if (this.#last && !changed) return this.#last;
    const old = this.#last?.band;
    const lost: string[] = [];
    const meta = this.#meta.values;
    const text = (field: 'id' | 'name'): string => {
      const value = meta.get(field);
      if (typeof value === 'string') return value.slice(0, 120);
      if (meta.size > 0) lost.push(`the band's ${field} cannot be read`);
      return '';
    };
    const values = <T>(before: readonly T[] | undefined, shelf: Shelf<Placed<T>>) =>
      share(
        before,
        [...shelf.values.values()].sort(byPosition).map(({ value }) => value),
      );
    const band: Band = {
      id: text('id'),
      name: text('name'),
      players: values(old?.players, this.#players),
      songs: values(old?.songs, this.#songs),
      sets: this.#readSets(old, lost),
    };
    for (const [kind, shelf] of [
      ['player', this.#players],
      ['song', this.#songs],
      ['set', this.#sets],
      ['entry', this.#entries],
    ] as const) {
      for (const id of shelf.broken) lost.push(`${kind} ${id} cannot be read`);
    }
    this.#last = shareFields(this.#last, {
      band: shareFields(old, band),
      broken: share(this.#last?.broken, lost.sort(compare)),
      readOnly: versionOf(this.#doc) !== BAND_VERSION,
    });
    return this.#last;
  }

  #readSets(old: Band | undefined, lost: string[]): readonly SetList[] {
    const before = new Map(old?.sets.map((set) => [set.id, set]));
    const inSet = new Map<string, SetEntry[]>();
    for (const { id, setId, value } of [...this.#entries.values.values()].sort(byPosition)) {
      if (this.#sets.removed.has(setId) || this.#songs.removed.has(value.songId)) continue;
      if (!this.#sets.values.has(setId)) lost.push(`entry ${id} has no set`);
      else if (!this.#songs.values.has(value.songId)) lost.push(`entry ${id} has no song`);
      else inSet.set(setId, [...(inSet.get(setId) ?? []), value]);
    }
    const sets = [...this.#sets.values.values()].sort(byPosition).map(({ id, value }) => {
      const was = before.get(id);
      return shareFields(was, { ...value, entries: share(was?.entries, inSet.get(id) ?? []) });
    });
    return share(old?.sets, sets);
  }
}
