import type * as Y from 'yjs';
import { readSong, SongEdits, type SongReading, settledAtOnce, watchSong } from '../../lib/document';
import type { Answer } from '../../lib/song';
import type { DocumentWays } from './useShared';

export interface BoardReading extends SongReading {
  /** Answers that were settled at the same time as the one that stands at their place. */
  readonly atOnce: readonly Answer[];
}

/** The same object for the same reading, as the reading itself is for the same document. */
const readings = new WeakMap<SongReading, BoardReading>();

function read(doc: Y.Doc): BoardReading {
  const reading = readSong(doc);
  const there = readings.get(reading);
  if (there) return there;
  const made = { ...reading, atOnce: settledAtOnce(doc, reading.song.proposals) };
  readings.set(reading, made);
  return made;
}

/** How a song's document is read and edited. Loaded when a page has one open. */
export const WAYS: DocumentWays<BoardReading, SongEdits> = {
  read,
  watch: (doc, listener) => watchSong(doc, () => listener(read(doc))),
  edits: (doc, options) => new SongEdits(doc, options),
};
