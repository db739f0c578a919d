import type { Arrangement } from '../../lib/parts';

/** Room for pickups to hang in: as wide as the longest of them, but not wider than this many ticks. */
const MOST = 3 * 960;

/** Pixels kept free to the left of every line's first barline, so that downbeats stand under one another. */
export function hangOf(arrangement: Arrangement, pixelsPerTick = arrangement.pixelsPerTick): number {
  let most = 0;
  for (const pass of arrangement.passes) {
    for (const line of pass.lines) if (line.pickupTicks <= MOST) most = Math.max(most, line.pickupTicks);
  }
  return most * pixelsPerTick;
}
