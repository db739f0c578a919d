/**
 * From files and pasted text to song values, and what became of each line: read, taken by guess, left out, with line and column. ABC 2.1 is
 * read; abcjs's parser, loaded when the first text is read, carries the music code. Reading is pure: no files, no network; the same text
 * and the same ids give the same song. It is not a place for storing songs or for judging them.
 */
export {
  listAbcTunes,
  type ReadOptions,
  readAbc,
  readAbcBook,
  type SongRead,
  type TuneInBook,
} from './abc-read';
export { looksLikeAbc, MOST_CHARACTERS } from './abc-text';
export { READ_ENDINGS, readPastedSong, readSongFile } from './read-file';
export type { LeftOut, ReadReport, TextPlace } from './report';
