/** Parts as pages: a player's part laid out on paper as drawing instructions, page by page, for a painter that knows fonts. */
export { pagesOf } from './pages';
export { type SheetRequest, sheetsOf } from './sheet';
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
