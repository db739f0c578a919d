import * as Y from 'yjs';

/** The versions that this program writes; a document of any other version is read only. */
export const SONG_VERSION = 4;
export const BAND_VERSION = 3;

export type DocumentKind = 'song' | 'band';

/**
 * The top-level maps of a song document, version 4.
 *
 * - `meta`: kind, version, id, title, key, tempo, `tempoRange` (with the tempo whose range it is), feel, `start:FIELD` and `ending:FIELD`, `shift` (how far the song has been
 *   transposed: see shift.ts), and `cleaning` (the server's list of what is to be cleaned up: see tidy.ts)
 * - `sections`, `bars`, `voices`, `passes`: by id, a map of fields each (so that two people who change two fields both win), with
 *   `position` (order among its kind, ties broken by id) and `removed`. A field that has its usual value is left out.
 *   A pass has `role:PLAYER` for each role, a section `chordsGuessed` while its chords stand on guessed bars.
 * - `notes`, `chords`: by id, one JSON value each (a note's pitch and its time are one decision). They and every key carry the
 *   `shift` under which they were written
 * - `words`: by `NOTE:STANZA`, a syllable each, apart from the notes, so that a note and its word can be changed at once
 * - `settings`: by `PLAYER:FIELD`. Flat, since two people may make a player's first setting at once
 * - `settled`, `proposals`, `comments`: by id, one JSON value each
 * - `votes`: by `PROPOSAL:PLAYER`, true or false
 * - `ends`: by `NOTE:STANZA` (`NOTE:all` for every stanza), true where a phrase ends after the note, false where it goes on
 * - `singing`: by `PASS:NOTE:VOICE` (no note for the pass's start), the player who sings from there on, null for nobody
 * - `kept`: by id, the song as it was agreed on, whole and packed (kept.ts)
 *
 * Version 1 had no `shift`: all in it was written under 0. It stored a fill's notes with the names of their fields; since version 2 they are
 * rows (stored-answer.ts). Version 2 had no `ends`, `singing`, start, ending and range of tempo, no range of a voice, and no stanzas of a note. Version 3 had no `kept`.
 */
export const SONG_MAPS = [
  'meta',
  'sections',
  'bars',
  'voices',
  'passes',
  'notes',
  'words',
  'chords',
  'settings',
  'settled',
  'proposals',
  'votes',
  'comments',
  'ends',
  'singing',
  'kept',
] as const;
export type SongMap = (typeof SONG_MAPS)[number];

/**
 * The top-level maps of a band document, version 3.
 *
 * - `meta`: kind, version, id, name, the band's settings, `cleaning`
 * - `players`, `songs`, `sets`, `entries` (of all sets, each with its `setId`): by id, a map of fields each, with `position` and `removed`
 * - `figures`, `remarks`: by id, one JSON value each
 * - `pairs`: by `SET:SONG:SONG` (the lesser song id first), `near` or `apart`
 *
 * Version 1 had neither of the last two rows nor settings. Version 2 had no times and places around the microphone.
 */
export const BAND_MAPS = [
  'meta',
  'players',
  'songs',
  'sets',
  'entries',
  'figures',
  'pairs',
  'remarks',
] as const;
export type BandMap = (typeof BAND_MAPS)[number];

export type MapName = SongMap | BandMap;
/** Fields of an item, or values of a map, by key. */
export type Fields = Readonly<Record<string, unknown>>;

export const mapOf = (doc: Y.Doc, name: MapName): Y.Map<unknown> => doc.getMap<unknown>(name);

/** The map of fields of one item; null where there is none. */
export function itemOf(doc: Y.Doc, name: MapName, id: string): Y.Map<unknown> | null {
  const item = mapOf(doc, name).get(id);
  return item instanceof Y.Map ? item : null;
}

const ROLE = 'role:';
export const roleKey = (playerId: string): string => ROLE + playerId;
export const playerOfRole = (key: string): string | null =>
  key.startsWith(ROLE) ? key.slice(ROLE.length) : null;

/** Two parts as one key; either may hold any sign. */
export const joinKey = (first: string, second: string): string =>
  `${first.replaceAll('%', '%25').replaceAll(':', '%3A')}:${second}`;

/** The two parts of a joined key; null for any other text. */
export function splitKey(key: string): readonly [string, string] | null {
  const colon = key.indexOf(':');
  if (colon < 0) return null;
  return [key.slice(0, colon).replaceAll('%3A', ':').replaceAll('%25', '%'), key.slice(colon + 1)];
}

/** Three parts as one key. */
export const joinThree = (first: string, second: string, third: string): string =>
  joinKey(first, joinKey(second, third));

export function splitThree(key: string): readonly [string, string, string] | null {
  const outer = splitKey(key);
  const inner = outer && splitKey(outer[1]);
  return outer && inner ? [outer[0], inner[0], inner[1]] : null;
}

/** The version a document says it has; null where nothing has been put into it yet (or it cannot be read). */
export function versionOf(doc: Y.Doc): number | null {
  const version = mapOf(doc, 'meta').get('version');
  return typeof version === 'number' && Number.isInteger(version) && version > 0 ? version : null;
}

/** What a document says it is; null where nothing has been put into it yet. */
export function kindOf(doc: Y.Doc): DocumentKind | null {
  const kind = mapOf(doc, 'meta').get('kind');
  return kind === 'song' || kind === 'band' ? kind : null;
}

/** What a document's name says it is: names begin with the kind and a dot; null for any other. */
export function documentKind(name: string): DocumentKind | null {
  if (name.startsWith('song.')) return 'song';
  return name.startsWith('band.') ? 'band' : null;
}
