/**
 * The shared document: how a band and a song are laid out in Yjs documents, reading them into the plain values of
 * lib/song, edits (one transaction each) with each person's own undo, and migrations. The one room of lib that knows
 * Yjs. It opens no connection, stores nothing, and computes no answers; pointers and playing positions are presence
 * and not in here.
 *
 * Rules that hold in every document: ordered things have an id and a position, ties broken by id; removal is a flag, and what hangs on a
 * removed thing is hidden with it and stays until the server tidies up (tidy.ts). Single values, as notes, chords, answers and comments, are
 * taken out; a change made at the same time keeps them, unless whoever took them out had changed them too since both last met. Of what several write
 * into one place at once, one write stands that nobody who saw it has changed. What cannot be read is listed and never deleted.
 */
export { settledAtOnce } from './at-once';
export { BandEdits } from './band-edits';
export type { BandReading } from './band-reader';
export { type Done, Editor, type EditorOptions } from './editor';
export { type Kept, keptIn, MOST_KEPT, songKept, watchKept } from './kept';
export {
  BAND_VERSION,
  type DocumentKind,
  documentKind,
  kindOf,
  SONG_VERSION,
  versionOf,
} from './layout';
export { MIGRATION, MIGRATIONS, type Migrated, type Migration, migrate } from './migrate';
export { readBand, readSong, watchBand, watchSong } from './read';
export { newBandDocument, newSongDocument } from './seed';
export { type KeyMove, SongEdits } from './song-edits';
export type { SongReading } from './song-reader';
export type { HandOver } from './substitute-edits';
export type { NoteFields, SungChange } from './sung-edits';
export { KEPT_FOR_DAYS, TIDYING, type Tidied, tidy } from './tidy';
