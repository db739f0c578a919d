import { z } from 'zod';
import { type Song, songSchema } from '../../lib/song';
import { seenOf } from '../sw/names';

/** A song as it was when it was last looked at on this device. */
export interface Seen {
  readonly song: Song;
  /** Milliseconds since 1970. */
  readonly at: number;
}

const seenSchema: z.ZodType<Seen> = z.object({ song: songSchema, at: z.number() });
const addressOf = (songId: string): string => `/seen/${encodeURIComponent(songId)}`;
const isHere = (): boolean => typeof caches !== 'undefined';

/** What was last seen of a song; null where nothing was, or where this device keeps nothing. */
export async function readSeen(bandId: string, songId: string): Promise<Seen | null> {
  if (!isHere()) return null;
  const held = await (await caches.open(seenOf(bandId))).match(addressOf(songId));
  const read = seenSchema.safeParse(await held?.json().catch(() => null));
  return read.success ? read.data : null;
}

/** Keeps what is seen now; a device that has no room keeps nothing, and tells nothing next time. */
export async function writeSeen(bandId: string, seen: Seen): Promise<void> {
  if (!isHere()) return;
  const cache = await caches.open(seenOf(bandId));
  await cache.put(addressOf(seen.song.id), new Response(JSON.stringify(seen))).catch(() => {});
}
