import { changesBetween } from '../../../lib/changes';
import { readBand, readSong } from '../../../lib/document';
import { bandDocument, songDocument } from '../../../lib/protocol';
import type { Band, Song } from '../../../lib/song';
import { trimPages } from '../../sw/pages';
import { bringDocument, NotBrought } from '../../sync';
import { absentPages, bringPage, bringShell, drop } from './device';
import {
  allNotes,
  type EveningNote,
  readBefore,
  readNote,
  type SongNote,
  writeBefore,
  writeNote,
} from './note';
import { bandPath, setPath, shellIn, showsSong, stampOf, unwanted, type Wanted, wantedFor } from './wanted';

/** Pages that are fetched at one time. */
const AT_ONCE = 3;

/** How far it has come. */
export interface Progress {
  readonly what: 'songs' | 'pages' | 'letters';
  readonly done: number;
  readonly of: number;
}

/** Why an evening could not be brought whole. */
export type Trouble = 'away' | 'refused' | 'device' | 'no room' | 'page' | 'letters' | 'no set';
export class NotWhole extends Error {
  readonly trouble: Trouble;

  constructor(trouble: Trouble) {
    super(`an evening was not brought whole: ${trouble}`);
    this.trouble = trouble;
  }
}

export interface Asked {
  readonly bandId: string;
  readonly setId: string;
  /** Whose parts and stand pages come along. */
  readonly playerIds: readonly string[];
  /** True where somebody asks for it; false where what is on the device is renewed by itself. */
  readonly anew: boolean;
  readonly signal: AbortSignal;
  readonly onProgress: (progress: Progress) => void;
  /** Milliseconds since 1970. */
  readonly now: () => number;
}

/**
 * Brings an evening to this device, or what of it has changed since: the band, the songs, their pages, and what pages need. What has
 * come is noted as it comes, so that what is stopped or breaks off goes on from there.
 *
 * @throws NotWhole; the signal's reason where it was stopped
 */
export async function carry(asked: Asked): Promise<EveningNote> {
  try {
    return await bring(asked);
  } catch (error) {
    asked.signal.throwIfAborted();
    throw new NotWhole(troubleOf(error));
  }
}

async function bring(asked: Asked): Promise<EveningNote> {
  const { bandId, setId, signal, onProgress } = asked;
  const before = await readNote(bandId, setId);
  const { band } = readBand(await bringDocument(bandDocument(bandId), signal));
  const set = band.sets.find(({ id }) => id === setId);
  if (!set) {
    // What is here stays: it may be wanted all the same.
    if (before) await writeNote(bandId, { ...before, isInBand: false });
    throw new NotWhole('no set');
  }
  const playerIds = asked.playerIds.filter((id) => band.players.some((player) => player.id === id));
  let note = noteFor(asked, wantedFor(band, set, playerIds), playerIds, before);
  const keep = async (more: Partial<EveningNote>): Promise<void> => {
    note = { ...note, ...more };
    await writeNote(bandId, note);
  };
  const keepSong = (id: string, more: Partial<SongNote>) =>
    keep({ songs: note.songs.map((song) => (song.id === id ? { ...song, ...more } : song)) });
  await keep({});
  await dropFormer(bandId, before, note);

  const stamps = new Map<string, string>();
  for (const [index, { id }] of note.songs.entries()) {
    onProgress({ what: 'songs', done: index, of: note.songs.length });
    const song = await bringSong(bandId, id, signal);
    if (!song) continue;
    const { stamp, changes } = await compare(asked, band, song, before);
    stamps.set(id, stamp);
    await keepSong(id, { changes });
  }
  // A song that is gone meanwhile is not waited for.
  const isThere = (id: string) => stamps.has(id);
  if (note.songs.some(({ id }) => !isThere(id))) await keep(without(bandId, note, isThere));

  const shell = new Set<string>();
  const pages = [...note.pages];
  const fetched = new Set<string>();
  const fetchPage = async (path: string): Promise<string> => {
    const html = await bringPage(path, signal);
    if (html === null) throw new NotWhole('page');
    for (const address of shellIn(html)) shell.add(address);
    fetched.add(path);
    onProgress({ what: 'pages', done: fetched.size, of: pages.length });
    return html;
  };
  const html = await fetchPage(setPath(bandId, setId));
  await fetchPage(bandPath(bandId));
  const build = stampOf([...shellIn(html)].sort().join(' '));
  const absent = new Set(await absentPages(bandId, pages));
  for (const { id, stamp } of note.songs) {
    const ofSong = pages.filter((path) => showsSong(path, bandId, id));
    const isStale = stamp !== stamps.get(id) || build !== note.build;
    const wanting = ofSong.filter((path) => isStale || absent.has(path));
    for (let at = 0; at < wanting.length; at += AT_ONCE)
      await Promise.all(wanting.slice(at, at + AT_ONCE).map(fetchPage));
    for (const path of ofSong) fetched.add(path);
    await keepSong(id, { stamp: stamps.get(id) ?? null });
  }
  onProgress({ what: 'letters', done: pages.length, of: pages.length });
  if (!(await bringShell(setPath(bandId, setId), [...shell]))) throw new NotWhole('letters');
  signal.throwIfAborted();
  await keep({ build, checkedAt: asked.now() });
  return note;
}

/** A note of what is to come; what of it is here already is not fetched again. */
function noteFor(
  { setId, anew, now }: Asked,
  { songs, pages, documents }: Wanted,
  playerIds: readonly string[],
  before: EveningNote | null,
): EveningNote {
  const isNew = anew || before === null;
  return {
    setId,
    playerIds,
    takenAt: isNew ? now() : before.takenAt,
    checkedAt: before?.checkedAt ?? null,
    isInBand: true,
    before: isNew ? songs : before.before,
    songs: songs.map((song) => {
      const known = before?.songs.find(({ id }) => id === song.id);
      return { ...song, stamp: known?.stamp ?? null, changes: isNew ? [] : (known?.changes ?? []) };
    }),
    pages,
    documents,
    build: before?.build ?? '',
  };
}

/** Null where the band has no such song any more. */
async function bringSong(bandId: string, songId: string, signal: AbortSignal): Promise<Song | null> {
  try {
    return readSong(await bringDocument(songDocument(bandId, songId), signal)).song;
  } catch (error) {
    if (error instanceof NotBrought && error.refusal?.code === 'not found') return null;
    throw error;
  }
}

/** What has become of a song since its evening was asked for; asked for anew, it is as it is now. */
async function compare(
  { bandId, setId, anew }: Asked,
  band: Band,
  song: Song,
  note: EveningNote | null,
): Promise<{ readonly stamp: string; readonly changes: readonly string[] }> {
  const stamp = stampOf(JSON.stringify(song));
  const before = anew || note === null ? null : await readBefore(bandId, setId, song.id);
  if (!before) await writeBefore(bandId, setId, { stamp, song });
  if (!before || before.stamp === stamp) return { stamp, changes: [] };
  return { stamp, changes: changesBetween(before.song, song, band.players).map(({ sentence }) => sentence) };
}

const without = (
  bandId: string,
  { songs, pages, documents }: EveningNote,
  isThere: (songId: string) => boolean,
): Partial<EveningNote> => {
  const gone = songs.filter(({ id }) => !isThere(id));
  return {
    songs: songs.filter(({ id }) => isThere(id)),
    pages: pages.filter((path) => !gone.some(({ id }) => showsSong(path, bandId, id))),
    documents: documents.filter((name) => !gone.some(({ id }) => name === songDocument(bandId, id))),
  };
};

/** What the evening held and does not hold any more leaves the device, unless another evening needs it. */
async function dropFormer(bandId: string, before: EveningNote | null, note: EveningNote): Promise<void> {
  if (before) {
    const others = (await allNotes(bandId)).filter(({ setId }) => setId !== note.setId);
    await drop(
      bandId,
      unwanted(
        before.pages,
        note.pages,
        others.map(({ pages }) => pages),
      ),
      unwanted(
        before.documents,
        note.documents,
        others.map(({ documents }) => documents),
      ),
    );
  } else await trimPages(bandId);
}

function troubleOf(error: unknown): Trouble {
  if (error instanceof NotWhole) return error.trouble;
  if (error instanceof NotBrought) return error.why;
  if (error instanceof DOMException && error.name === 'QuotaExceededError') return 'no room';
  // A fetch that gets no answer.
  return error instanceof TypeError ? 'away' : 'device';
}
