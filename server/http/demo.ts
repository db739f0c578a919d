import { newBandDocument, newSongDocument } from '../../lib/document';
import { bandDocument, songDocument } from '../../lib/protocol';
import type { Band, Song } from '../../lib/song';
import type { Access } from '../ports';
import type { Rooms } from '../sync';

/** Whoever can reach the server may enter this band. */
export const DEMO_BAND_ID = 'demo';

export interface Demo {
  readonly band: Band;
  readonly songs: readonly Song[];
}

/**
 * Makes the demo band where there is none yet; the band's own record comes last, so a broken-off start is mended by the next.
 * True where there is one now.
 */
export async function seedDemo(
  rooms: Rooms,
  access: Access,
  hasBand: boolean,
  demo: () => Promise<Demo>,
): Promise<boolean> {
  if (hasBand) return true;
  const { band, songs } = await demo();
  for (const song of songs) await rooms.create(songDocument(DEMO_BAND_ID, song.id), newSongDocument(song));
  await rooms.create(bandDocument(DEMO_BAND_ID), newBandDocument({ ...band, id: DEMO_BAND_ID }));
  await access.addBand(DEMO_BAND_ID);
  return true;
}
