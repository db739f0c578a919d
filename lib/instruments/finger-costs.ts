/** The picking fingers of banjo and resonator guitar, as the hand lies: the thumb nearest the ceiling. */
export const PICKING_FINGERS = ['thumb', 'index', 'middle'] as const;
export type PickingFinger = (typeof PICKING_FINGERS)[number];

/**
 * What it costs a finger to strike a string, by the string's number (0 is not used). One unit is a small reach of the
 * finger. Common practice, no source: the thumb has 5, 4 and 3 (and 2), the index 2 and 3 (and 4), the middle 1 (and 2).
 */
export const REACH: Readonly<Record<PickingFinger, readonly number[]>> = {
  thumb: [0, 4, 1, 0, 0, 0, 0],
  index: [0, 2, 0, 0.6, 2, 6, 8],
  middle: [0, 0, 1.5, 3, 5, 8, 9],
};

/** The finger that a string has in a banjo's roll, by the string's number (0 is not used). Common practice, no source. */
export const ROLL_FINGER: readonly (PickingFinger | null)[] = [
  null,
  'middle',
  'index',
  'thumb',
  'thumb',
  'thumb',
];

/** In the same unit. Common practice, no source. */
export const FINGER_COSTS = {
  /** A finger strikes twice running faster than in quarters. */
  sameFingerAgain: 20,
  /** One string twice running by another pair than thumb and index: single-string lines go thumb, index. */
  otherPairOnOneString: 6,
  /** One string twice running by thumb and index, but the thumb off the beat. */
  againstTheBeatOnOneString: 2,
  /** A note of a run off the grid's thumb and index. */
  runOffThumbAndIndex: 6,
  /** A note of a roll by another finger than its string's: thumb on 5, 4 and 3, index on 2, middle on 1. */
  rollOffItsFinger: 9,
  /** Two fingers crossed over each other from one note to the next. */
  crossed: 1,
} as const;
