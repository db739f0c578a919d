/**
 * From files and pasted text to song values, and what became of each line: read, taken by guess, left out, with its place. Read are ABC 2.1
 * (abcjs's parser, loaded when the first text is read, carries the music code), MusicXML, plain and compressed, standard MIDI files, and words with chords above
 * them. Reading is pure: no files, no network; the same text
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
export {
  BAND_FILE_ENDING,
  type BandFile,
  readBandFile,
  type WholeBand,
  wholeBand,
  writeBandFile,
} from './band-file';
export {
  addLeft,
  type FileSong,
  type LeftBehind,
  likelyWho,
  NOTHING_LEFT,
  playersNamedIn,
  type SongForBand,
  setForBand,
  songForBand,
  songsForBand,
  songsOfFile,
  type Who,
} from './into-band';
export { listMidiVoices, type MidiVoiceListed } from './midi-read';
export { MOST_BYTES, READ_ENDINGS, readEndingOf, readPastedSong, readSongFile } from './read-file';
export { type LeftOut, type ReadReport, sayLeftOutPlace, type TextPlace } from './report';
export { stressesOf, type Tongue, tongueOf } from './text-syllables';
export {
  WRITE_ENDINGS,
  type Written,
  writeAbc,
  writeMidi,
  writeMusicXml,
  writeSongFile,
  writeText,
} from './write';
