import { deflateSync, inflateSync, strFromU8, strToU8 } from 'fflate';
import { fromBase64, toBase64 } from 'lib0/buffer';
import * as Y from 'yjs';
import { z } from 'zod';
import { fail, ok, type Result } from '../base';
import type { Song } from '../song';
import { mapOf, SONG_VERSION, type SongMap, versionOf } from './layout';
import { migrate } from './migrate';
import { compare } from './order';
import { readSong } from './read';

/** A song as the band agreed on it at some time. */
export interface Kept {
  readonly id: string;
  readonly name: string;
  /** The player who kept it; null: not said. */
  readonly by: string | null;
  /** Milliseconds since 1970, by that person's clock. */
  readonly at: number;
}

/** So many are kept of a song; and so long is what one of them takes, packed. */
export const MOST_KEPT = 30;
const LONGEST = 600_000;

const storedSchema = z.object({
  name: z.string().min(1).max(80),
  by: z.string().min(1).max(80).nullable(),
  at: z.number(),
  state: z.string().max(LONGEST),
});

/** Maps whose values are items with fields of their own; a removed one is not in a state. */
export const ITEM_MAPS = ['sections', 'bars', 'voices', 'passes'] as const;
/** Maps of plain values. What is put to the band, votes and talk are no part of what was agreed on, and stay. */
export const VALUE_MAPS = [
  'meta',
  'notes',
  'words',
  'chords',
  'settings',
  'settled',
  'ends',
  'singing',
] as const;
/** Of `meta`, what is the document's and not the song's. */
const OF_THE_DOCUMENT: ReadonlySet<string> = new Set(['kind', 'version', 'id', 'cleaning']);
export const isOfTheSong = (name: SongMap, key: string): boolean =>
  name !== 'meta' || !OF_THE_DOCUMENT.has(key);

const fieldsSchema = z.record(z.string(), z.unknown());
const stateSchema = z.object({
  /** Of the document's schema: an older one is brought up to date as documents are. */
  version: z.int().min(1),
  items: z.record(z.enum(ITEM_MAPS), z.record(z.string(), fieldsSchema)),
  values: z.record(z.enum(VALUE_MAPS), fieldsSchema),
});
/** All that a document holds of a song itself, key by key, as it is stored. */
export type State = z.infer<typeof stateSchema>;

export function stateOf(doc: Y.Doc): State {
  const items = (name: SongMap) =>
    Object.fromEntries(
      [...mapOf(doc, name)].flatMap(([id, item]) =>
        item instanceof Y.Map && item.get('removed') !== true ? [[id, Object.fromEntries(item)]] : [],
      ),
    );
  const values = (name: SongMap) =>
    Object.fromEntries([...mapOf(doc, name)].filter(([key]) => isOfTheSong(name, key)));
  const [sections, bars, voices, passes] = ITEM_MAPS.map(items);
  const [meta, notes, words, chords, settings, settled, ends, singing] = VALUE_MAPS.map(values);
  return stateSchema.parse({
    version: versionOf(doc) ?? SONG_VERSION,
    items: { sections, bars, voices, passes },
    values: { meta, notes, words, chords, settings, settled, ends, singing },
  });
}

/** A state as the text that is stored: JSON, deflated (RFC 1951), in base64. */
export const packed = (state: State): string =>
  toBase64(deflateSync(strToU8(JSON.stringify(state)), { level: 9 }));

function unpacked(text: string): State | null {
  try {
    const read = stateSchema.safeParse(JSON.parse(strFromU8(inflateSync(fromBase64(text)))));
    return read.success ? read.data : null;
  } catch {
    return null;
  }
}

/** What is kept of a song, the latest first. What cannot be read is left out, and stays. */
export function keptIn(doc: Y.Doc): readonly Kept[] {
  return [...mapOf(doc, 'kept')]
    .flatMap(([id, raw]) => {
      const read = storedSchema.safeParse(raw);
      return read.success ? [{ id, name: read.data.name, by: read.data.by, at: read.data.at }] : [];
    })
    .sort((a, b) => b.at - a.at || compare(a.id, b.id));
}

/** What was stored under an id. Errors: it is gone; it cannot be read. */
export function stateKept(doc: Y.Doc, id: string): Result<State> {
  const raw = mapOf(doc, 'kept').get(id);
  if (raw === undefined)
    return fail(
      'This is not kept any more',
      id,
      'Somebody may have thrown it away; look at what is kept now',
    );
  const read = storedSchema.safeParse(raw);
  const state = read.success ? unpacked(read.data.state) : null;
  if (!state || state.version > SONG_VERSION)
    return fail(
      'What was kept cannot be read',
      id,
      'Load the page anew; if that does not help, it is damaged',
    );
  return ok(state);
}

/** The song as it was when it was kept, with nothing put to the band. Errors as `stateKept`. */
export function songKept(doc: Y.Doc, id: string): Result<Song> {
  const state = stateKept(doc, id);
  if (!state.ok) return state;
  const then = documentOf(state.value, String(mapOf(doc, 'meta').get('id') ?? ''));
  const { song } = readSong(then);
  then.destroy();
  return ok(song);
}

/** A state brought up to this program's version. */
export function upToDate(state: State): State {
  if (state.version === SONG_VERSION) return state;
  const then = documentOf(state, '');
  const now = stateOf(then);
  then.destroy();
  return now;
}

function documentOf(state: State, id: string): Y.Doc {
  const doc = new Y.Doc();
  doc.transact(() => {
    for (const name of ITEM_MAPS)
      for (const [key, fields] of Object.entries(state.items[name]))
        mapOf(doc, name).set(key, new Y.Map(Object.entries(fields)));
    for (const name of VALUE_MAPS)
      for (const [key, value] of Object.entries(state.values[name])) mapOf(doc, name).set(key, value);
    for (const [key, value] of Object.entries({ kind: 'song', version: state.version, id }))
      mapOf(doc, 'meta').set(key, value);
  });
  migrate(doc);
  return doc;
}

/** Calls the listener when something was kept or thrown away. Gives the way to stop. */
export function watchKept(doc: Y.Doc, listener: () => void): () => void {
  const map = mapOf(doc, 'kept');
  map.observe(listener);
  return () => map.unobserve(listener);
}
