import type * as Y from 'yjs';
import {
  type Band,
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
  type SetList,
  type SongEntry,
  type SongPair,
  setEntrySchema,
  setListSchema,
  songEntrySchema,
} from '../song';
import { BAND_VERSION, type BandMap, mapOf, splitThree, versionOf } from './layout';
import { byPosition, compare } from './order';
import { byTime } from './settled';
import { fieldsOf, type Read, Shelf, share, shareFields, whole } from './shelf';
import { type Placed, placed, readRaw } from './song-items';
import { namedNotes } from './stored-answer';

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

export const readPlayer = (raw: unknown, id: string): Read<Placed<Player>> =>
  placed(raw, id, (fields) =>
    whole(playerSchema, { comfortEighthsPerMinute: null, spanMillimetres: null, ...fields, id }),
  );

const readSongEntry = (raw: unknown, id: string): Read<Placed<SongEntry>> =>
  placed(raw, id, (fields) => whole(songEntrySchema, { ...fields, id }));

const readSet = (raw: unknown, id: string): Read<Placed<SetList>> =>
  placed(raw, id, (fields) =>
    whole(setListSchema, { targetSeconds: null, ...fields, id, entries: [], pairs: [] }),
  );

function readEntry(raw: unknown, id: string): Read<PlacedEntry> {
  const entry = placed(raw, id, (fields) => whole(setEntrySchema, { note: '', ...fields, id }));
  const setId = fieldsOf(raw)?.setId;
  if (typeof entry !== 'object') return entry;
  return typeof setId === 'string' ? { value: { ...entry.value, setId } } : 'broken';
}

export const readFigure = (raw: unknown, id: string): Read<Figure> =>
  whole(figureSchema, { ...namedNotes(fieldsOf(raw) ?? {}), id });

const readRemark = (raw: unknown, id: string): Read<Remark> => whole(remarkSchema, { ...fieldsOf(raw), id });

interface PairInSet {
  readonly setId: string;
  readonly pair: SongPair;
}

function readPair(raw: unknown, key: string): Read<PairInSet> {
  const parts = splitThree(key);
  if (!parts || (raw !== 'near' && raw !== 'apart')) return 'broken';
  const [setId, first, second] = parts;
  return first < second ? { value: { setId, pair: { songs: [first, second], wanted: raw } } } : 'broken';
}

const byName = (a: Figure, b: Figure) => compare(a.name, b.name) || compare(a.id, b.id);

/** As `SongReader`, for a band. */
export class BandReader {
  readonly #doc: Y.Doc;
  readonly #meta;
  readonly #players;
  readonly #songs;
  readonly #sets;
  readonly #entries;
  readonly #figures;
  readonly #pairs;
  readonly #remarks;
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
    this.#figures = shelf('figures', readFigure);
    this.#pairs = shelf('pairs', readPair);
    this.#remarks = shelf('remarks', readRemark);
  }

  /** The band as it is now; the very same object where nothing changed. Not for use inside a transaction. */
  read(): BandReading {
    const shelves = [
      this.#meta,
      this.#players,
      this.#songs,
      this.#sets,
      this.#entries,
      this.#figures,
      this.#pairs,
      this.#remarks,
    ];
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
    const settings = this.#readSettings(lost);
    const band: Band = {
      id: text('id'),
      name: text('name'),
      players: values(old?.players, this.#players),
      songs: values(old?.songs, this.#songs),
      sets: this.#readSets(old, lost),
      figures: share(old?.figures, [...this.#figures.values.values()].sort(byName)),
      remarks: share(old?.remarks, [...this.#remarks.values.values()].sort(byTime)),
      ...settings,
      microphonePlaces: share(old?.microphonePlaces, settings.microphonePlaces),
    };
    for (const [kind, shelf] of [
      ['player', this.#players],
      ['song', this.#songs],
      ['set', this.#sets],
      ['entry', this.#entries],
      ['figure', this.#figures],
      ['pair', this.#pairs],
      ['remark', this.#remarks],
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

  #readSettings(lost: string[]): BandSettings {
    const settings = bandSettingsSchema.safeParse(Object.fromEntries(this.#meta.values));
    if (settings.success) return settings.data;
    lost.push("the band's settings cannot be read");
    const { figures: _figures, remarks: _remarks, ...usual } = NEW_BAND;
    return usual;
  }

  /** Pairs of which both songs are in the band's list, by set. */
  #readPairs(): ReadonlyMap<string, readonly SongPair[]> {
    const pairs = new Map<string, SongPair[]>();
    for (const [, { setId, pair }] of [...this.#pairs.values].sort((a, b) => compare(a[0], b[0]))) {
      if (!pair.songs.every((song) => this.#songs.values.has(song))) continue;
      pairs.set(setId, [...(pairs.get(setId) ?? []), pair]);
    }
    return pairs;
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
    const pairs = this.#readPairs();
    const sets = [...this.#sets.values.values()].sort(byPosition).map(({ id, value }) => {
      const was = before.get(id);
      return shareFields(was, {
        ...value,
        entries: share(was?.entries, inSet.get(id) ?? []),
        pairs: share(was?.pairs, pairs.get(id) ?? []),
      });
    });
    return share(old?.sets, sets);
  }
}
