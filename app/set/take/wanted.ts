import { bandDocument, songDocument } from '../../../lib/protocol';
import type { Band, SetList } from '../../../lib/song';

/** A song as an evening names it. */
export interface SongNamed {
  readonly id: string;
  readonly title: string;
}

/** All that has to be on a device for an evening without a network. */
export interface Wanted {
  /** In set order; a song that is played twice is named once. */
  readonly songs: readonly SongNamed[];
  /** Names of the shared documents, the band's first. */
  readonly documents: readonly string[];
  /** Paths: the set list and the band's page first, then what each song has. */
  readonly pages: readonly string[];
}

/** What an evening takes: the set list, each song's board, and for each of these players their part of it and their page on the stand. */
export function wantedFor(band: Band, set: SetList, playerIds: readonly string[]): Wanted {
  const ids = [...new Set(set.entries.map(({ songId }) => songId))];
  const songs = ids.map((id) => ({ id, title: titleIn(band, id) }));
  return {
    songs,
    documents: [bandDocument(band.id), ...ids.map((id) => songDocument(band.id, id))],
    pages: [
      setPath(band.id, set.id),
      bandPath(band.id),
      ...ids.flatMap((id) => songPages(band.id, id, playerIds)),
    ],
  };
}

export const setPath = (bandId: string, setId: string): string => `/band/${bandId}/set/${setId}`;
export const bandPath = (bandId: string): string => `/band/${bandId}`;
export const boardPath = (bandId: string, songId: string): string => `/band/${bandId}/song/${songId}`;
export const standPath = (bandId: string, songId: string, playerId: string): string =>
  `${boardPath(bandId, songId)}/stand/${playerId}`;
export const partPath = (bandId: string, songId: string, playerId: string): string =>
  `${boardPath(bandId, songId)}/part/${playerId}`;

function songPages(bandId: string, songId: string, playerIds: readonly string[]): readonly string[] {
  return [
    boardPath(bandId, songId),
    ...playerIds.flatMap((id) => [standPath(bandId, songId, id), partPath(bandId, songId, id)]),
  ];
}

/** Whether a page shows that song. */
export const showsSong = (path: string, bandId: string, songId: string): boolean =>
  path === boardPath(bandId, songId) || path.startsWith(`${boardPath(bandId, songId)}/`);

const titleIn = (band: Band, songId: string): string =>
  band.songs.find(({ id }) => id === songId)?.title || 'A song without a title';

/** Of what an evening held, what neither it nor another evening holds now. */
export function unwanted(
  held: readonly string[],
  now: readonly string[],
  others: readonly (readonly string[])[],
): readonly string[] {
  const still = new Set([now, ...others].flat());
  return held.filter((one) => !still.has(one));
}

/** What became of the order of a set between two states of it, in sentences. */
export function orderChanges(before: readonly SongNamed[], now: readonly SongNamed[]): readonly string[] {
  const came = now.filter(({ id }) => !before.some((one) => one.id === id));
  const went = before.filter(({ id }) => !now.some((one) => one.id === id));
  const stayed = (one: readonly SongNamed[], other: readonly SongNamed[]) =>
    one.flatMap(({ id }) => (other.some((each) => each.id === id) ? [id] : []));
  const isMoved = stayed(before, now).join(' ') !== stayed(now, before).join(' ');
  return [
    ...came.map(({ title }) => `${title} came in.`),
    ...went.map(({ title }) => `${title} was taken out.`),
    ...(isMoved ? ['The songs are in another order.'] : []),
  ];
}

/** A short sign of a text: the same for the same text. FNV-1a, 32 bits (Fowler, Noll, Vo). */
export function stampOf(text: string): string {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, '0');
}

/** Addresses of the scripts, styles and letters that a page's HTML names. */
export function shellIn(html: string): readonly string[] {
  return [...new Set(html.match(/\/_next\/static\/[\w\-./~@%[\]()]+\.(?:js|css|woff2)/g) ?? [])];
}
