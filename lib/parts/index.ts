/**
 * What stands on a page, for the board and for each player's part: the song cut into lines along its beats, what stands
 * in the spaces, tablature as drawing instructions, and the sentences beside them. It paints nothing itself, and it
 * decides nothing: who plays what comes from the song.
 */

export type { Standing } from '../plan';
export { settingOf } from '../song';
export {
  type Arrangement,
  arrange,
  cuesOf,
  PRINT_WIDTH,
  PRINT_WORD_SIZE,
  singsSame,
  soundsSame,
  WORD_SIZE,
} from './arrangement';
export {
  type BackupBar,
  type BackupInPass,
  backupBars,
  backupInPass,
  type NotesRow,
  notesRows,
} from './backup';
export {
  BOOK_LISTS,
  type Evening as EveningOnPaper,
  type EveningSong,
  eveningOnPaper,
  floorSheets,
  frontSheets,
  openingOf,
} from './book';
export { CHORD_WAYS, type ChordNaming, type ChordWay, chordNaming, chordsCompared } from './chords';
export { othersInSpace, voicesInWords } from './company';
export type { Drawing, Face, Instruction } from './drawing';
export { type FillFrame, fillDrawing, readsNotation, roomBefore } from './fill-drawing';
export { ledIn } from './led-in';
export {
  type Line,
  type LineSyllable,
  linesOf,
  type PassLines,
  type Segment,
  type SpacePart,
  syllablesOfVoice,
} from './lines';
export { notesApart } from './notes-apart';
export {
  cueInWords,
  type OrderRow,
  othersInWords,
  type Part,
  type PartHead,
  type PartSpace,
  partOf,
} from './part';
export { holdingInWords, type PutForward, putForward, whereInWords } from './put-forward';
export { rowStarts, tearsFill } from './row-starts';
export { type RulerFrame, rulerDrawing } from './ruler';
export {
  barsInWords,
  beatsInFigures,
  beatsInWords,
  chordInSigns,
  chordsInWords,
  feelInWords,
  inWords,
  lengthInFigures,
  passName,
  placeInWords,
  secondsInWords,
  shapesKey,
  tempoInSigns,
} from './sentences';
export {
  type CribRequest,
  companyIn,
  cribSheets,
  DENSITIES,
  type Density,
  endInWords,
  type Measure,
  microphoneCues,
  PAPER_SIZES,
  PAPERS,
  type Paper,
  practiceTempos,
  type RowCue,
  type Sheet,
  type SheetRequest,
  type StudentRequest,
  sheetsOf,
  stampOf,
  startInWords,
  studentSheets,
  withNewcomer,
} from './sheet';
export { CHORDS_ROW, NOTES_ROW, type RowGeometry, WORDS_ROW } from './sheet/row-look';
export { type Fit, hangOf, pixelsPerTick, roomAtStart, type Spacing, spacingOf, widthInEms } from './spacing';
export { type StaffFrame, staffDrawing } from './staff';
export { NUMBER_INSET, SIGNS, type TabFrame, tabDrawing } from './tab';
export { isOfLine, lineAt, placeOfLine, placeOfPass, type Talk, talkOf, unanswered } from './talk';
