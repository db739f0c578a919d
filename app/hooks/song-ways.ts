import { readSong, SongEdits, type SongReading, watchSong } from '../../lib/document';
import type { DocumentWays } from './useShared';

/** How a song's document is read and edited. Loaded when a page has one open. */
export const WAYS: DocumentWays<SongReading, SongEdits> = {
  read: readSong,
  watch: watchSong,
  edits: (doc, options) => new SongEdits(doc, options),
};
