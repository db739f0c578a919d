import { TICKS_PER_QUARTER, type Ticks } from './ticks';

/**
 * How eighth notes are played: `ratio` is the long eighth on the beat to the short one on the "and";
 * 1 is straight, 2 is triplet swing. In this music it rarely passes 2.
 */
export interface Feel {
  readonly ratio: number;
}

export const STRAIGHT: Feel = { ratio: 1 };

/**
 * Where a written tick sounds under a feel, with beats of a quarter: each half of the beat is stretched or squeezed evenly, so
 * order is kept and beats stay where they are. Compound meters are not swung; the caller leaves them out.
 *
 * @param tick ticks from a beat's start (a barline)
 */
export function swingTick(feel: Feel, tick: Ticks): Ticks {
  const beat = Math.floor(tick / TICKS_PER_QUARTER) * TICKS_PER_QUARTER;
  const half = TICKS_PER_QUARTER / 2;
  const within = tick - beat;
  const turn = (TICKS_PER_QUARTER * feel.ratio) / (feel.ratio + 1);
  return within <= half
    ? beat + (within * turn) / half
    : beat + turn + ((within - half) * (TICKS_PER_QUARTER - turn)) / half;
}
