/** Length or place in musical time; 960 make a quarter note. */
export type Ticks = number;

/** 960 divides by 2 to the 64th note and by 3 and 5, so that triplets and quintuplets are whole. */
export const TICKS_PER_QUARTER: Ticks = 960;

/** The ticks of a fraction of a whole note: `ticksOf(1, 8)` is an eighth. */
export function ticksOf(numerator: number, denominator: number): Ticks {
  return Math.round((4 * TICKS_PER_QUARTER * numerator) / denominator);
}
