/**
 * Reads one posted song away from the server's own thread: text to JSON, JSON to a song that holds to every rule, the song
 * to a document. One request, one answer; whoever started it ends it.
 */
import { parentPort, workerData } from 'node:worker_threads';
import * as Y from 'yjs';
import { newSongDocument } from '../../lib/document';
import { isId, songRequest } from '../../lib/protocol';
import { checkSong } from '../../lib/song';
import type { SongReading } from './read-song';

const bytes: unknown = workerData;
if (bytes instanceof Uint8Array) parentPort?.postMessage(read(bytes));

function read(text: Uint8Array): SongReading {
  let value: unknown;
  try {
    value = JSON.parse(Buffer.from(text).toString('utf8'));
  } catch {
    return { code: 'bad request', where: 'the body is not JSON' };
  }
  const asked = songRequest.safeParse(value);
  if (!asked.success) {
    const issue = asked.error.issues[0];
    return { code: 'bad value', where: issue ? `${issue.path.join('.')}: ${issue.message}` : 'the body' };
  }
  const { song } = asked.data;
  if (!isId(song.id)) return { code: 'bad value', where: 'song.id: letters, digits, - and _ only' };
  const breach = checkSong(song)[0];
  if (breach !== undefined) return { code: 'bad value', where: `song: ${breach}` };
  return { songId: song.id, title: song.title, update: Y.encodeStateAsUpdate(newSongDocument(song)) };
}
