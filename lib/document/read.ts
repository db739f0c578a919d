import type * as Y from 'yjs';
import { BandReader, type BandReading } from './band-reader';
import { SongReader, type SongReading } from './song-reader';

const songReaders = new WeakMap<Y.Doc, SongReader>();
const bandReaders = new WeakMap<Y.Doc, BandReader>();

function readerOf<T>(readers: WeakMap<Y.Doc, T>, doc: Y.Doc, make: (doc: Y.Doc) => T): T {
  const there = readers.get(doc);
  if (there) return there;
  const reader = make(doc);
  readers.set(doc, reader);
  return reader;
}

const songReader = (doc: Y.Doc) => readerOf(songReaders, doc, (each) => new SongReader(each));
const bandReader = (doc: Y.Doc) => readerOf(bandReaders, doc, (each) => new BandReader(each));

/**
 * The song that a document holds. Each item is checked once, and read again only when it changed: what did not change keeps its
 * identity from one reading to the next, and the whole reading is the very same object where nothing did.
 * Notes and chords come in the order of their bars, offsets, voices and ids (a note's words end with its last stanza that has one); settings by player; answers and comments in time order.
 * A document into which nothing has been put reads as an empty song, read only.
 */
export const readSong = (doc: Y.Doc): SongReading => songReader(doc).read();

/** The band that a document holds; as `readSong`. */
export const readBand = (doc: Y.Doc): BandReading => bandReader(doc).read();

/** Calls the listener after every transaction that changed what is read, not at once. Gives the way to stop. */
export const watchSong = (doc: Y.Doc, listener: (reading: SongReading) => void): (() => void) =>
  watch(doc, () => songReader(doc).read(), listener);

export const watchBand = (doc: Y.Doc, listener: (reading: BandReading) => void): (() => void) =>
  watch(doc, () => bandReader(doc).read(), listener);

function watch<T>(doc: Y.Doc, read: () => T, listener: (reading: T) => void): () => void {
  let last = read();
  const after = () => {
    const now = read();
    if (now === last) return;
    last = now;
    listener(now);
  };
  doc.on('afterTransaction', after);
  return () => doc.off('afterTransaction', after);
}
