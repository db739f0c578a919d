import { z } from 'zod';
import { type Song, songSchema } from '../../../lib/song';
import { EVENING_NOTES, eveningsOf } from '../../sw/names';

/** What this device notes of an evening that was taken along on it. */
export interface EveningNote {
  readonly setId: string;
  /** Whose parts and stand pages came along. */
  readonly playerIds: readonly string[];
  /** When it was asked for, in milliseconds since 1970. */
  readonly takenAt: number;
  /** When the server had last been asked about all of it, and all of it was here; null: not yet. */
  readonly checkedAt: number | null;
  /** False once the band has no such set any more. */
  readonly isInBand: boolean;
  /** The songs in order when it was asked for. */
  readonly before: readonly { readonly id: string; readonly title: string }[];
  /** The songs in order as they were last brought. */
  readonly songs: readonly SongNote[];
  /** Paths of all pages of it; the service worker does not clear these away. */
  readonly pages: readonly string[];
  readonly documents: readonly string[];
  /** A sign of the build that its pages are of. */
  readonly build: string;
}

export interface SongNote {
  readonly id: string;
  readonly title: string;
  /** A sign of the state of the song that its pages show; null: it has not come yet. */
  readonly stamp: string | null;
  /** What has changed in it since it was asked for, in sentences. */
  readonly changes: readonly string[];
}

const named = z.object({ id: z.string(), title: z.string() });
const noteSchema: z.ZodType<EveningNote> = z.object({
  setId: z.string(),
  playerIds: z.array(z.string()),
  takenAt: z.number(),
  checkedAt: z.number().nullable(),
  isInBand: z.boolean(),
  before: z.array(named),
  songs: z.array(named.extend({ stamp: z.string().nullable(), changes: z.array(z.string()) })),
  pages: z.array(z.string()),
  documents: z.array(z.string()),
  build: z.string(),
});

/** A song as it was when its evening was asked for. */
export interface SongBefore {
  readonly stamp: string;
  readonly song: Song;
}
const beforeSchema: z.ZodType<SongBefore> = z.object({ stamp: z.string(), song: songSchema });

const noteAddress = (setId: string): string => EVENING_NOTES + encodeURIComponent(setId);
const songsAddress = (setId: string): string => `/evening-song/${encodeURIComponent(setId)}/`;
const songAddress = (setId: string, songId: string): string =>
  songsAddress(setId) + encodeURIComponent(songId);

async function read<T>(bandId: string, address: string, schema: z.ZodType<T>): Promise<T | null> {
  if (!(await caches.has(eveningsOf(bandId)))) return null;
  const held = await (await caches.open(eveningsOf(bandId))).match(address);
  const data = schema.safeParse(await held?.json().catch(() => null));
  return data.success ? data.data : null;
}

async function write(bandId: string, address: string, value: EveningNote | SongBefore): Promise<void> {
  const cache = await caches.open(eveningsOf(bandId));
  await cache.put(address, new Response(JSON.stringify(value)));
}

export const readNote = (bandId: string, setId: string): Promise<EveningNote | null> =>
  read(bandId, noteAddress(setId), noteSchema);
/** @throws where the device has no room; so does `writeBefore` */
export const writeNote = (bandId: string, note: EveningNote): Promise<void> =>
  write(bandId, noteAddress(note.setId), note);
export const readBefore = (bandId: string, setId: string, songId: string): Promise<SongBefore | null> =>
  read(bandId, songAddress(setId, songId), beforeSchema);
export const writeBefore = (bandId: string, setId: string, before: SongBefore): Promise<void> =>
  write(bandId, songAddress(setId, before.song.id), before);

/** All evenings of a band that were taken along on this device. */
export async function allNotes(bandId: string): Promise<readonly EveningNote[]> {
  if (!(await caches.has(eveningsOf(bandId)))) return [];
  const keys = await (await caches.open(eveningsOf(bandId))).keys();
  const addresses = keys
    .map(({ url }) => new URL(url).pathname)
    .filter((path) => path.startsWith(EVENING_NOTES));
  const notes = await Promise.all(addresses.map((address) => read(bandId, address, noteSchema)));
  return notes.filter((note) => note !== null);
}

/** Takes the note of an evening off the device, and its songs as they were. */
export async function removeNote(bandId: string, setId: string): Promise<void> {
  const cache = await caches.open(eveningsOf(bandId));
  for (const key of await cache.keys()) {
    const { pathname } = new URL(key.url);
    if (pathname === noteAddress(setId) || pathname.startsWith(songsAddress(setId))) await cache.delete(key);
  }
  if ((await cache.keys()).length === 0) await caches.delete(eveningsOf(bandId));
}
