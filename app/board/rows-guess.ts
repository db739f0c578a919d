import type { CSSProperties } from 'react';
import type { Line } from '../../lib/parts';
import type { LineGeometry } from './geometry';

/** Pixels that a pass's lines have beside its margin on a common screen, and on a tablet, as the lines there are scaled. */
const WIDE = 1180;
const TABLET = 920;
/** What a row of a line takes on a phone, where whole bars make it. */
const PHONE = 290;

type Rows = CSSProperties & Record<'--rows-wide' | '--rows-tablet' | '--rows-phone' | '--row', string>;

/**
 * How a pass stands in for itself while it is out of sight, so that the page is about as long as it will be. A guess from the
 * lengths of its lines: the browser keeps what it was once it has been seen.
 */
export function rowsGuess(lines: readonly Line[], pixelsPerTick: number, { height }: LineGeometry): Rows {
  const widths = lines.map(({ startTick, endTick }) => (endTick - startTick) * pixelsPerTick);
  return {
    '--rows-wide': `${rowsIn(widths, WIDE)}`,
    '--rows-tablet': `${rowsIn(widths, TABLET)}`,
    '--rows-phone': `${widths.reduce((sum, width) => sum + Math.max(1, Math.round(width / PHONE)), 0)}`,
    '--row': `${height}px`,
  };
}

/** Rows of lines that stand beside each other while there is room; one that has none takes more rows itself. */
function rowsIn(widths: readonly number[], room: number): number {
  let rows = 0;
  let left = 0;
  for (const width of widths) {
    if (width <= left) {
      left -= width;
      continue;
    }
    rows += Math.max(1, Math.ceil(width / room));
    left = Math.max(0, room - width);
  }
  return rows;
}
