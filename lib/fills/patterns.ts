/**
 * Rolls as patterns. `strings` picks among the strings of a figure, lowest first, from 0; a roll begins with its first string
 * and goes round from there, group after group. Bars of eight eighths and of six (3/4, 6/8) have their own.
 */
export interface RollPattern {
  readonly family: string;
  /** For bars of eight, and for bars of six. */
  readonly eight: readonly number[];
  readonly six: readonly number[];
}

/** Cross-picking over three neighbouring strings. Source: common practice (forward 4-3-2 4-3-2 4-3). */
export const THREE_STRING_ROLLS: readonly RollPattern[] = [
  { family: 'forward roll', eight: [0, 1, 2, 0, 1, 2, 0, 1], six: [0, 1, 2, 0, 1, 2] },
  { family: 'backward roll', eight: [2, 1, 0, 2, 1, 0, 2, 1], six: [2, 1, 0, 2, 1, 0] },
  { family: 'forward-reverse roll', eight: [0, 1, 2, 0, 2, 1, 0, 2], six: [0, 1, 2, 0, 2, 1] },
];

/**
 * Three-finger banjo rolls by string number. Common practice, no source. Fingers: forward T I M T I M T M, backward
 * M I T M I T M I, forward-reverse T I M T M I T M, alternating thumb T I T M T I T M; thumb on 5, 4 and 3, index on 2 (and 3), middle on 1.
 */
export const BANJO_ROLLS: readonly RollPattern[] = [
  { family: 'forward roll', eight: [3, 2, 1, 5, 2, 1, 5, 1], six: [3, 2, 1, 5, 2, 1] },
  { family: 'backward roll', eight: [1, 2, 5, 1, 2, 5, 1, 2], six: [1, 2, 5, 1, 2, 5] },
  { family: 'forward-reverse roll', eight: [3, 2, 1, 5, 1, 2, 3, 1], six: [3, 2, 1, 5, 1, 2] },
  { family: 'alternating thumb roll', eight: [3, 2, 5, 1, 4, 2, 5, 1], six: [3, 2, 5, 1, 4, 1] },
];
