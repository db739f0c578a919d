/** Heights inside a line, in CSS pixels from its top. Chords above, strokes, tablature round the words, beats below. */
export interface LineGeometry {
  readonly chordBase: number;
  readonly chordSize: number;
  readonly wordBase: number;
  readonly wordSize: number;
  readonly tabTop: number;
  /** Height of the lowest string's line. */
  readonly tabBottom: number;
  readonly numberSize: number;
  readonly tickTop: number;
  readonly height: number;
}

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

/** For two metres on a stand: words of 14 pt, chords larger than words. */
export const PRINT_LINE: LineGeometry = {
  chordBase: 20,
  chordSize: 21,
  wordBase: 66,
  wordSize: 18.7,
  tabTop: 42,
  tabBottom: 89,
  numberSize: 13.5,
  tickTop: 97,
  height: 108,
};

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
export const PRINT_PLAIN_LINE: LineGeometry = {
  ...PRINT_LINE,
  wordBase: 43,
  tabTop: 26,
  tabBottom: 46,
  tickTop: 52,
  height: 64,
};

/** For a break that somebody else has: the chords, and the bars under them. */
export const PRINT_BREAK_LINE: LineGeometry = {
  ...PRINT_LINE,
  wordBase: 27,
  tabTop: 13,
  tabBottom: 27,
  tickTop: 32,
  height: 44,
};

export const BAR_TICK = 9;
export const BEAT_TICK = 4;
