import { z } from 'zod';
import { fail, itemAt, ok, type Result } from '../base';
import { type Band, bandSchema, checkSong, type Song, songSchema } from '../song';

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
