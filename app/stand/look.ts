import { type Arrangement, hangOf, type Line, PRINT_WORD_SIZE, pixelsPerTick } from '../../lib/parts';
import { type LineGeometry, PRINT_BREAK_LINE, PRINT_LINE, PRINT_PLAIN_LINE } from '../board/geometry';

/** As on paper, with larger numbers on lines further apart: a sheet stands two metres away, and a screen is less sharp. */
const STAND_LINE: LineGeometry = {
  ...PRINT_LINE,
  wordBase: 76,
  tabTop: 44,
  tabBottom: 108,
  numberSize: 16,
  tickTop: 116,
  height: 126,
};

/** How large a sheet is drawn, from what a printed part has. */
export const SIZES = [0.8, 1, 1.2, 1.4, 1.7, 2, 2.4] as const;

/** A step of `SIZES` that suits a view of a width in pixels. */
export function usualStep(width: number): number {
  if (width < 600) return 1;
  return width < 1000 ? 2 : 3;
}

/** Narrower than this, the style sheet gives every line one small margin. */
const PHONE = 612;
/** What a line's margins take of a page's width, in pixels. */
const MARGINS = 14;
const PHONE_MARGINS = 36;

/** The width in which the rows of a line stand, on a page of a width in pixels. */
export const rowWidth = (width: number): number => width - (width < PHONE ? PHONE_MARGINS : MARGINS);

/** How each kind of line of a sheet is drawn. */
export interface SheetLook {
  /** Lines in which the player has notes to read. */
  readonly notes: LineLook;
  /** Lines without. */
  readonly plain: LineLook;
  /** Breaks, in which nobody sings. */
  readonly bare: LineLook;
}

interface LineLook {
  readonly geometry: LineGeometry;
  /** How rows of it are drawn that hold none of the notes. */
  readonly without: LineGeometry;
  readonly pixelsPerTick: number;
  readonly hang: number;
}

/** Lines of a part, larger, and as wide as a view: they draw together to fit, those with notes less than those without. */
export function sheetLook({ passes }: Arrangement, scale: number, width: number): SheetLook {
  const wordSize = PRINT_WORD_SIZE * scale;
  const own = pixelsPerTick(passes, wordSize, { width, least: 0.8 });
  const close = pixelsPerTick(passes, wordSize, { width, least: 0.6 });
  const look = (geometry: LineGeometry, perTick: number): LineLook => ({
    geometry: scaled(geometry, scale),
    without: scaled(PRINT_PLAIN_LINE, scale),
    pixelsPerTick: perTick,
    // On a phone pickups begin at the edge of the page.
    hang: width < PHONE ? 0 : hangOf(passes, perTick, wordSize),
  });
  return {
    notes: look(STAND_LINE, own),
    plain: look(PRINT_PLAIN_LINE, close),
    bare: { ...look(PRINT_BREAK_LINE, close), without: scaled(PRINT_BREAK_LINE, scale) },
  };
}

function scaled(line: LineGeometry, by: number): LineGeometry {
  return {
    chordBase: line.chordBase * by,
    chordSize: line.chordSize * by,
    wordBase: line.wordBase * by,
    wordSize: line.wordSize * by,
    tabTop: line.tabTop * by,
    tabBottom: line.tabBottom * by,
    numberSize: line.numberSize * by,
    tickTop: line.tickTop * by,
    height: line.height * by,
  };
}

/** Whether a line holds one of some spaces. */
export const holdsAny = (line: Line, ids: ReadonlySet<string>): boolean =>
  line.segments.some(({ spaces }) => spaces.some(({ space }) => ids.has(space.id)));
