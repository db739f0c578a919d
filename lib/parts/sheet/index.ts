/** Parts as pages: a player's part laid out on paper as drawing instructions, page by page, for a painter that knows fonts. */
export { endInWords, endingInWords, starterInWords, startInWords } from './course';
export { type CribRequest, cribSheets, withNewcomer } from './crib';
export { companyIn, paragraph, rule, textBlock } from './head';
export { microphoneCues, type RowCue } from './microphone';
export { type Foot, type Frame, heightOn, POINT, roomOn, sheetsFrom } from './paged';
export { pagesOf } from './pages';
export { DENSITIES, type Density, type SheetRequest, sheetsOf } from './sheet';
export { stampOf } from './stamp';
export { PRACTICE_SHARES, practiceTempos, type StudentRequest, studentSheets } from './student';
export { layText, moved, type Paragraph, type Run } from './text';
export {
  type Block,
  MARGINS,
  type Measure,
  PAPER_SIZES,
  PAPERS,
  type Paper,
  type Sheet,
  TURN_COSTS,
} from './types';
