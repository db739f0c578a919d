/**
 * The plain values that everything is computed from: a band and its players, a song with its bars, sung notes,
 * words, chords and passes, and what the band has said about its spaces. Values are readonly and hold only what
 * people decided; their schemas (zod) read them from outside. Also the song laid along time.
 * It knows nothing of how values are stored or shared, and computes no answers.
 */
export {
  mayJustSettle,
  saysTheSame,
  type Tally,
  tallyOf,
  type Word,
  whoseWord,
  wordOnLettingGo,
  wordOnProposal,
  wordOnSettling,
  wordOnStandingIn,
} from './agreeing';
export {
  BAND_SETTINGS,
  type Band,
  type BandSettings,
  type Figure,
  type Hold,
  NEW_BAND,
  type Player,
  type Remark,
  type SetEntry,
  type SetList,
  type SongEntry,
  type SongPair,
  USUAL_ENTRY,
  USUAL_SONG,
} from './band';
export {
  bandSchema,
  bandSettingsSchema,
  figureSchema,
  playerSchema,
  remarkSchema,
  setEntrySchema,
  setListSchema,
  songEntrySchema,
} from './band-schema';
export {
  type Decided,
  ENDING_KINDS,
  type EndingKind,
  type PhraseEnd,
  type PitchRange,
  type Singing,
  type SongEnding,
  type SongStart,
  type TempoRange,
  UNDECIDED,
} from './decided';
export {
  endingSchema,
  phraseEndSchema,
  pitchRangeSchema,
  singingSchema,
  startSchema,
  tempoRangeSchema,
} from './decided-schema';
export {
  type Answer,
  type Comment,
  type Extent,
  type Fill,
  type FillNote,
  type Holding,
  type Place,
  samePlace,
  type Vote,
} from './fill';
export { answerSchema, commentSchema, fillSchema, placeSchema } from './fill-schema';
export { checkSong } from './invariants';
export { MOST_STEP_SECONDS, microphoneOf, type OneMicrophone } from './microphone';
export { lastNoteOfWord, moveNote, SHORTEST_NOTE } from './moving';
export { microphoneSettings, type PlayersFile, playersFileSchema, playersOf } from './players-file';
export { lastRemark, remarkInWords } from './remark';
export { SET_WEIGHTS, type SetFile, type SetWeight, setFileSchema } from './set-file';
export { settingOf } from './setting';
export {
  type Bar,
  type ChordMark,
  DEFAULT_TEMPO,
  type Pass,
  type PlayerSetting,
  ROLES,
  type Role,
  type Section,
  type Song,
  type SungNote,
  type Syllable,
  type Voice,
  type VoicePart,
} from './song';
export {
  barSchema,
  chordMarkSchema,
  feelSchema,
  keySchema,
  meterSchema,
  passSchema,
  roleSchema,
  settingSchema,
  songSchema,
  sungNoteSchema,
  syllableSchema,
  tempoSchema,
  voiceSchema,
} from './song-schema';
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
