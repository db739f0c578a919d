/**
 * Reads a song's text away from the page, so that the page goes on answering keys. One request, one answer; to stop
 * it, end the worker.
 */
import { listAbcTunes, readAbcBook, readPastedSong } from '../../lib/exchange';
import { newId } from '../hooks/newId';
import type { ReadAnswer, ReadRequest } from './read-song-messages';

async function read({ text, title, which }: ReadRequest): Promise<ReadAnswer> {
  const options = { makeId: newId, title };
  const listed = listAbcTunes(text);
  const tunes = listed.ok ? listed.value : [];
  if (tunes.length > 1) {
    const book = await readAbcBook(text, options);
    if (!book.ok) return { tunes, which, result: book };
    const chosen = book.value[which] ?? book.value[0];
    if (chosen) return { tunes, which: book.value.indexOf(chosen), result: chosen.result };
  }
  return { tunes, which: 0, result: await readPastedSong(text, options) };
}

self.onmessage = ({ data }: MessageEvent<ReadRequest>) => {
  read(data).then(
    (answer) => self.postMessage(answer),
    // Not caught here, so that the page hears of it as the worker's error.
    (reason: unknown) =>
      self.setTimeout(() => {
        throw reason;
      }),
  );
};
