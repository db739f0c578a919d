import type { CSSProperties } from 'react';
import { CHORDS_ROW, NOTES_ROW, type RowGeometry, WORDS_ROW } from '../../lib/parts';

/** Heights inside a line, in CSS pixels from its top. Chords above, strokes, tablature round the words, beats below. */
export type LineGeometry = RowGeometry;

export const BOARD_LINE: LineGeometry = {
  chordBase: 17,
  chordSize: 17,
  wordBase: 62,
  wordSize: 21,
  tabTop: 36,
  tabBottom: 78,
  numberSize: 12.5,
  tickTop: 88,
  height: 100,
};

/** As on paper; rows of the page part themselves, where those of a sheet hold the room between them. */
export const PRINT_LINE: LineGeometry = { ...NOTES_ROW, height: 108 };

/** For a pass in which nobody sings. */
export const BREAK_LINE: LineGeometry = {
  ...BOARD_LINE,
  wordBase: 40,
  tabTop: 24,
  tabBottom: 46,
  tickTop: 50,
  height: 64,
};

/** For a line of a part without notes to read: chords stand close over the words. */
export const PRINT_PLAIN_LINE: LineGeometry = { ...WORDS_ROW, height: 64 };

/** For a break that somebody else has: the chords, and the bars under them. */
export const PRINT_BREAK_LINE: LineGeometry = { ...CHORDS_ROW, height: 44 };

export const BAR_TICK = 9;
export const BEAT_TICK = 4;

/**
 * Where something stands in its segment, in pixels from its left and top. By margins in the segment's one cell: what is
 * positioned has a layer of its own in the browser, and a song has thousands of words.
 */
export const standsAt = (left: number, top: number): CSSProperties => ({ marginLeft: left, marginTop: top });
