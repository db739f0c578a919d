/**
 * The plain values that everything is computed from: a band and its players, a song with its bars, sung notes,
 * words, chords and passes, and what the band has said about its spaces. Values are readonly and hold only what
 * people decided; their schemas (zod) read them from outside. Also the song laid along time.
 * It knows nothing of how values are stored or shared, and computes no answers.
 */
export { type Band, bandSchema, type Player, type SetEntry, type SetList, type SongEntry } from './band';
export {
  type Answer,
  answerSchema,
  type Comment,
  commentSchema,
  type Extent,
  type Fill,
  type FillNote,
  fillSchema,
  type Holding,
  type Place,
  samePlace,
  type Vote,
} from './fill';
export { checkSong } from './invariants';
export {
  type Bar,
  type ChordMark,
  chordMarkSchema,
  DEFAULT_TEMPO,
  type Pass,
  type PlayerSetting,
  ROLES,
  type Role,
  type Section,
  type Song,
  type SungNote,
  type Syllable,
  songSchema,
  sungNoteSchema,
  syllableSchema,
  type Voice,
  type VoicePart,
} from './song';
export {
  type PlacedBar,
  type PlacedChord,
  type PlacedNote,
  roadmapTimeline,
  soundingVoices,
  Timeline,
  writtenTimeline,
} from './timeline';
