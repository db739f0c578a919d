/** Reads a band file away from the page, so that the page goes on answering keys. One request, one answer; to stop it, end the worker. */
import { fail, ok } from '../../lib/base';
import { playersNamedIn, readBandFile, songsOfFile } from '../../lib/exchange';
import type { ReadBandAnswer, ReadBandRequest } from './read-band-messages';

function read(bytes: ReadBandRequest): ReadBandAnswer {
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return fail(
      'this is no text in UTF-8',
      'the whole file',
      'choose the band file itself, as it was taken along',
    );
  }
  const file = readBandFile(text);
  if (!file.ok) return file;
  const songs = songsOfFile(file.value);
  if (!songs.ok) return songs;
  if (songs.value.length === 0)
    return fail('the band file holds no song', 'its field "songs"', 'take along a band that has songs');
  const { band } = file.value;
  const named = new Set(songs.value.flatMap(({ song }) => playersNamedIn(song)));
  const known = new Set(band?.players.map(({ id }) => id));
  return ok({
    bandName: band?.name ?? '',
    songs: songs.value,
    players: (band?.players ?? []).filter(({ id }) => named.has(id)),
    strangers: [...named].filter((id) => !known.has(id)),
    sets: band?.sets ?? [],
  });
}

self.onmessage = ({ data }: MessageEvent<ReadBandRequest>) => self.postMessage(read(data));
