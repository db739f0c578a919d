/** Heights inside a line, in CSS pixels from its top. Chords above, strokes, tablature round the words, beats below. */
export interface LineGeometry {
  readonly chordBase: number;
  readonly chordSize: number;
  readonly wordBase: number;
  readonly wordSize: number;
  readonly tabTop: number;
  readonly stringStep: number;
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
  stringStep: 8.4,
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
  stringStep: 9.4,
  numberSize: 13.5,
  tickTop: 97,
  height: 108,
};

export const BAR_TICK = 9;
export const BEAT_TICK = 4;
