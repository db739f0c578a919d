import type { Drawing, Face } from '../drawing';

/** How wide a text is drawn, in CSS pixels. */
export type Measure = (text: string, size: number, face: Face) => number;

/** What can be moved about as one: it is never cut by a page's edge. Its drawing begins at 0, 0 and lies within its height. */
export interface Block {
  readonly height: number;
  readonly drawing: Drawing;
  /** What a page turn after it costs, in points of `TURN_COSTS`. */
  readonly turn: number;
  /** Where a reader can jump to; null: nowhere. */
  readonly mark: string | null;
}

/** One page, with the marks on it and where they stand. */
export interface Sheet {
  readonly drawing: Drawing;
  readonly marks: readonly { readonly text: string; readonly y: number }[];
  /**
   * What the pages that it belongs to hold, without their feet, as `stampOf` names it: the same on each of them, and on paper in its foot. A
   * part whose stamp is still the same need not be printed again.
   */
  readonly stamp: string;
}

export const PAPERS = ['a4', 'letter'] as const;
export type Paper = (typeof PAPERS)[number];

/** Sizes in CSS pixels, 96 to the inch. Source: ISO 216 (A4 is 210 × 297 mm); Letter is 8.5 × 11 inches. */
export interface PaperSize {
  readonly width: number;
  readonly height: number;
}
const millimetres = (length: number): number => (length * 96) / 25.4;
export const PAPER_SIZES: Readonly<Record<Paper, PaperSize>> = {
  a4: { width: millimetres(210), height: millimetres(297) },
  letter: { width: 8.5 * 96, height: 11 * 96 },
};

/** Kept free round the text, in CSS pixels; the foot stands in the lower one. */
export const MARGINS = {
  side: millimetres(13),
  top: millimetres(12),
  bottom: millimetres(15),
  foot: millimetres(8),
} as const;

/** What a page turn costs where it stands. Common practice, no source. */
export const TURN_COSTS = {
  /** A page more. */
  page: 1000,
  /** Between two passes. */
  pass: 0,
  /** Between two lines of a pass. */
  line: 10,
  /** Where the player has just played, or is about to: both hands are busy. */
  playing: 60,
  /** Within the player's own break: they would have to stop. */
  withinBreak: 300,
  /** More, where one line of a pass is left alone on a page. */
  lonely: 30,
  /** Within a line, in a list, after a heading. */
  torn: 400,
} as const;
