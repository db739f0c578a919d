/**
 * The plain values that everything is computed from: a band and its players, a song with its bars, sung notes,
 * words, chords and passes, and what the band has said about its spaces. Values are readonly and hold only what
 * people decided; their schemas (zod) read them from outside. Also the song laid along time.
 * It knows nothing of how values are stored or shared, and computes no answers.
 */
export {
  BAND_SETTINGS,
  type Band,
  type BandSettings,
  bandSchema,
  bandSettingsSchema,
  type Figure,
  figureSchema,
  type Hold,
  NEW_BAND,
  type Player,
  playerSchema,
  type Remark,
  remarkSchema,
  type SetEntry,
  type SetList,
  type SongEntry,
  type SongPair,
  setEntrySchema,
  setListSchema,
  songEntrySchema,
  USUAL_ENTRY,
  USUAL_SONG,
} from './band';
export {
  type Decided,
  ENDING_KINDS,
  type EndingKind,
  endingSchema,
  type PhraseEnd,
  type PitchRange,
  phraseEndSchema,
  pitchRangeSchema,
  type Singing,
  type SongEnding,
  type SongStart,
  singingSchema,
  startSchema,
  type TempoRange,
  tempoRangeSchema,
  UNDECIDED,
} from './decided';
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
  placeSchema,
  samePlace,
  type Vote,
} from './fill';
export { checkSong } from './invariants';
export { lastNoteOfWord, moveNote, SHORTEST_NOTE } from './moving';
export { type PlayersFile, playersFileSchema, playersOf } from './players-file';
export { SET_WEIGHTS, type SetFile, type SetWeight, setFileSchema } from './set-file';
export { settingOf } from './setting';
export {
  type Bar,
  barSchema,
  type ChordMark,
  chordMarkSchema,
  DEFAULT_TEMPO,
  feelSchema,
  keySchema,
  type Pass,
  type PlayerSetting,
  passSchema,
  ROLES,
  type Role,
  roleSchema,
  type Section,
  type Song,
  type SungNote,
  type Syllable,
  settingSchema,
  songSchema,
  sungNoteSchema,
  syllableSchema,
  tempoSchema,
  type Voice,
  type VoicePart,
  voiceSchema,
} from './song';
export { dropWord, type NoteChange, splitWord } from './splitting';
export {
  keyAt,
  type PlacedBar,
  type PlacedChord,
  type PlacedNote,
  type PlacedPass,
  roadmapTimeline,
  soundingVoices,
  Timeline,
  writtenTimeline,
} from './timeline';
