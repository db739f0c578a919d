import { type Arrangement, hangOf, type Line, PRINT_WORD_SIZE, pixelsPerTick } from '../../lib/parts';
import { type LineGeometry, PRINT_BREAK_LINE, PRINT_LINE, PRINT_PLAIN_LINE } from '../board/geometry';

/** How large a sheet is drawn, from what a printed part has. */
export const SIZES = [0.8, 1, 1.2, 1.4, 1.7, 2, 2.4] as const;

/** A step of `SIZES` that suits a view of a width in pixels. */
export function usualStep(width: number): number {
  if (width < 600) return 1;
  return width < 1000 ? 2 : 3;
}

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
  readonly pixelsPerTick: number;
  readonly hang: number;
}

/** Lines of a part, larger, and as wide as a view: lines without notes draw together, down to a share of their scale, to fit. */
export function sheetLook({ passes }: Arrangement, scale: number, width: number): SheetLook {
  const wordSize = PRINT_WORD_SIZE * scale;
  const own = pixelsPerTick(passes, wordSize);
  const close = pixelsPerTick(passes, wordSize, { width, least: 0.6 });
  const look = (geometry: LineGeometry, perTick: number): LineLook => ({
    geometry: scaled(geometry, scale),
    pixelsPerTick: perTick,
    hang: hangOf(passes, perTick, wordSize),
  });
  return {
    notes: look(PRINT_LINE, own),
    plain: look(PRINT_PLAIN_LINE, close),
    bare: look(PRINT_BREAK_LINE, close),
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
