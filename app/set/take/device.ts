import { type KeepMessage, pagesOf, readKeptMessage, seenOf } from '../../sw/names';
import { putPage, trimPages } from '../../sw/pages';
import { forgetKept, heldWhole } from '../../sync';
import { allNotes, type EveningNote, removeNote } from './note';
import { bandPath, showsSong, unwanted } from './wanted';

/** How long the service worker may take to bring what pages need, in milliseconds. */
const PATIENCE = 60_000;

/** Whether a browser can keep an evening at all: only over a secure connection, and not in every private window. */
export const canKeep = (): boolean =>
  process.env.NODE_ENV === 'production' &&
  'serviceWorker' in navigator &&
  typeof caches !== 'undefined' &&
  typeof indexedDB !== 'undefined';

/** What of an evening is not on the device: seen by looking, not remembered. */
export interface Missing {
  /** Titles of songs of which something is missing. */
  readonly songs: readonly string[];
  /** True where the set list or the band's page is missing. */
  readonly list: boolean;
}

export async function missingOf(bandId: string, note: EveningNote): Promise<Missing> {
  const absent = await absentPages(bandId, note.pages);
  const whole = await heldWhole(note.documents);
  const gone = note.documents.filter((name) => !whole.has(name));
  const lacks = ({ id, stamp }: EveningNote['songs'][number]) =>
    stamp === null ||
    absent.some((path) => showsSong(path, bandId, id)) ||
    gone.some((name) => name.endsWith(`.${id}`));
  const isOfSong = (path: string) => path.includes('/song/');
  return {
    songs: note.songs.filter(lacks).map(({ title }) => title),
    list: absent.some((path) => !isOfSong(path)) || gone.some((name) => name === note.documents[0]),
  };
}

export async function absentPages(bandId: string, paths: readonly string[]): Promise<readonly string[]> {
  if (!(await caches.has(pagesOf(bandId)))) return paths;
  const cache = await caches.open(pagesOf(bandId));
  const keys = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname));
  return paths.filter((path) => !keys.has(path));
}

/**
 * Fetches a page as the server now gives it, and keeps it.
 *
 * @returns its HTML; null where the server gave something else in its place
 * @throws where the server is away, the device has no room, or it is stopped
 */
export async function bringPage(path: string, signal: AbortSignal): Promise<string | null> {
  const response = await fetch(path, { cache: 'no-store', credentials: 'same-origin', signal });
  if (response.status >= 502 && response.status <= 504) throw new TypeError('the server is not up');
  return putPage(path, response);
}

/**
 * Has the service worker bring the scripts, styles and letters that pages need.
 *
 * @param path a page that is kept anew with them
 * @returns whether all of them are here
 */
export async function bringShell(path: string, addresses: readonly string[]): Promise<boolean> {
  await navigator.serviceWorker.register('/sw.js');
  const { active } = await navigator.serviceWorker.ready;
  if (!active) return false;
  const { port1, port2 } = new MessageChannel();
  const loaded = performance.getEntriesByType('resource').map(({ name }) => name);
  const message: KeepMessage = { kind: 'keep', path, loaded: [...addresses, ...loaded] };
  return new Promise((resolve) => {
    const timer = setTimeout(() => resolve(false), PATIENCE);
    port1.onmessage = ({ data }: MessageEvent<unknown>) => {
      clearTimeout(timer);
      port1.close();
      resolve(readKeptMessage(data)?.missing.length === 0);
    };
    active.postMessage(message, [port2]);
  });
}

/** What stays when an evening is taken off: documents with edits that the server has not got. */
export interface TakenOff {
  readonly stay: readonly string[];
}

/**
 * Takes an evening off the device: its pages, its songs, and what was noted of it. What another evening on this device needs stays, and so
 * do the band's own page and document, which are not the evening's alone.
 */
export async function takeOff(bandId: string, note: EveningNote): Promise<TakenOff> {
  await removeNote(bandId, note.setId);
  const others = await allNotes(bandId);
  const stay = await drop(
    bandId,
    unwanted(
      note.pages,
      [bandPath(bandId)],
      others.map(({ pages }) => pages),
    ),
    unwanted(
      note.documents,
      note.documents.slice(0, 1),
      others.map(({ documents }) => documents),
    ),
  );
  return { stay };
}

/** Takes pages and documents off the device, and what was seen of the songs; a document with edits that wait for the server stays, with its pages. */
export async function drop(
  bandId: string,
  pages: readonly string[],
  documents: readonly string[],
): Promise<readonly string[]> {
  const stay = await forgetKept(documents);
  const songOf = (name: string) => name.slice(name.lastIndexOf('.') + 1);
  const isNeeded = (path: string) => stay.some((name) => showsSong(path, bandId, songOf(name)));
  const cache = await caches.open(pagesOf(bandId));
  for (const path of pages) if (!isNeeded(path)) await cache.delete(path, { ignoreVary: true });
  if (await caches.has(seenOf(bandId))) {
    const seen = await caches.open(seenOf(bandId));
    for (const name of documents)
      if (!stay.includes(name)) await seen.delete(`/seen/${encodeURIComponent(songOf(name))}`);
  }
  await trimPages(bandId);
  return stay;
}
