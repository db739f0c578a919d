import { parseChord } from '../../lib/theory';

/** A chord's name just as it was written. */
export const sameName = (symbol: string): string => symbol;

/** Whether a symbol is read as a chord, or says that there is none. */
export const isReadable = (symbol: string): boolean =>
  parseChord(symbol) !== null || /^n\.?\s*c\.?$/i.test(symbol.trim());
