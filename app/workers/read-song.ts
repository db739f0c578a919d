/**
 * Reads a song's text away from the page, so that the page goes on answering keys. One request, one answer; to stop
 * it, end the worker.
 */
import { listAbcTunes, listMidiVoices, readAbcBook, readPastedSong, readSongFile } from '../../lib/exchange';
import { newId } from '../hooks/newId';
import type { ReadAnswer, ReadRequest } from './read-song-messages';

async function read({ source, title, which }: ReadRequest): Promise<ReadAnswer> {
  return typeof source === 'string'
    ? readText(source, title, which ?? 0)
    : readFile(source.name, source.bytes, title, which);
}

async function readFile(
  name: string,
  bytes: Uint8Array,
  title: string,
  which: number | null,
): Promise<ReadAnswer> {
  const listed = /\.midi?$/i.test(name) ? listMidiVoices(bytes) : null;
  const voices = listed?.ok ? listed.value : [];
  const likely = Math.max(
    0,
    voices.findIndex((voice) => voice.chosen),
  );
  const result = await readSongFile(name, bytes, {
    makeId: newId,
    title,
    melody: which === null ? undefined : which + 1,
  });
  const tunes = voices.map(({ called }, i) => ({ number: String(i + 1), title: called, line: i + 1 }));
  return { tunes, which: which ?? likely, result };
}

async function readText(text: string, title: string, which: number): Promise<ReadAnswer> {
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
