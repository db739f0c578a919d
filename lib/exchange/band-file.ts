import { z } from 'zod';
import { fail, itemAt, ok, type Result } from '../base';
import { type Band, bandSchema, checkSong, type Song, songSchema, USUAL_SONG } from '../song';

export const BAND_FILE_ENDING = '.breathmark.json';
const FORMAT = 'breathmark band file';
const VERSION = 1;
const MOST_SONGS = 1000;

/** All of a band's data, or one song alone, as one file that people can keep and read. */
export interface BandFile {
  /** Null: the file holds songs alone. */
  readonly band: Band | null;
  readonly songs: readonly Song[];
}

const headSchema = z.object({ format: z.literal(FORMAT), version: z.int().min(1) });
const fileSchema = headSchema.extend({
  band: bandSchema.nullable(),
  songs: z.array(songSchema).max(MOST_SONGS),
});

/**
 * The band file, version 1: JSON of `format`, `version`, `band` (players, song list, sets, figures; null for songs alone) and `songs`,
 * each as lib/song describes it. It holds everything that is shared but who was given which link.
 */
export function writeBandFile({ band, songs }: BandFile): string {
  return `${JSON.stringify({ format: FORMAT, version: VERSION, band, songs }, null, 1)}\n`;
}

/** Reads a band file; a problem says which part of it is not as it should be. */
export function readBandFile(text: string): Result<BandFile> {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return fail(`this is not JSON (${why})`, 'the whole file', 'export the band file again');
  }
  const head = headSchema.safeParse(raw);
  if (!head.success)
    return fail(
      'this JSON is no band file',
      'its first fields',
      `a band file says "format": "${FORMAT}" and its version`,
    );
  if (head.data.version > VERSION)
    return fail(
      `the file is of version ${head.data.version}; up to ${VERSION} is read`,
      'its field "version"',
      'read it with a newer Breathmark',
    );
  const file = fileSchema.safeParse(raw);
  if (!file.success) {
    const issue = itemAt(file.error.issues, 0);
    return fail(
      `a value is not as it should be: ${issue.message}`,
      issue.path.join('.'),
      'export the band file again',
    );
  }
  for (const [i, song] of file.data.songs.entries()) {
    const breach = checkSong(song)[0];
    if (breach !== undefined)
      return fail(
        `the song "${song.title}" contradicts itself: ${breach}`,
        `songs.${i}`,
        'export the band file again',
      );
  }
  return ok({ band: file.data.band, songs: file.data.songs });
}

/** A band with every song that its list names, so that it can be made anew from it. */
export interface WholeBand {
  readonly band: Band;
  readonly songs: readonly Song[];
}

/**
 * A band file as a whole band. A song that the list does not name is put at its end, since nothing that is in the file is to be lost; a
 * song that the list names and the file does not hold is a problem, and so is one that stands in it twice.
 */
export function wholeBand({ band, songs }: BandFile): Result<WholeBand> {
  if (band === null)
    return fail(
      'the file holds songs alone, and no band',
      'its field "band"',
      'bring it in on the page of a band, under "Bring in a song"',
    );
  const twice = firstTwice(songs.map(({ id }) => id)) ?? firstTwice(band.songs.map(({ id }) => id));
  if (twice !== null)
    return fail(
      `the song "${titleOf(twice, songs)}" stands in it twice`,
      'its songs',
      'take one of the two out',
    );
  const player = firstTwice(band.players.map(({ id }) => id));
  if (player !== null)
    return fail(`two players have the id "${player}"`, 'band.players', 'give one of them another id');
  const held = new Set(songs.map(({ id }) => id));
  const missing = band.songs.find(({ id }) => !held.has(id));
  if (missing !== undefined)
    return fail(
      `the band's list names "${missing.title}", which the file does not hold`,
      'its field "songs"',
      'take the band along as a file again, or take that song out of band.songs',
    );
  const listed = new Set(band.songs.map(({ id }) => id));
  const unlisted = songs
    .filter(({ id }) => !listed.has(id))
    .map(({ id, title }) => ({ ...USUAL_SONG, id, title }));
  return ok({ band: { ...band, songs: [...band.songs, ...unlisted] }, songs });
}

const firstTwice = (ids: readonly string[]): string | null =>
  ids.find((id, i) => ids.indexOf(id) !== i) ?? null;
const titleOf = (id: string, songs: readonly Song[]): string =>
  songs.find((song) => song.id === id)?.title ?? id;
