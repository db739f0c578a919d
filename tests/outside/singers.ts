import { itemAt, type Random } from '@/lib/base';
import type { Tap } from '@/lib/taps';

/**
 * A simulated singer with a key under the finger. Source, from memory: Repp, B. H. (2005), 'Sensorimotor synchronization: A review of the
 * tapping literature', Psychonomic Bulletin & Review 12, 969-992: taps scatter round the beat with a spread of some 2 to 5 per cent of
 * the interval, and come before it by some tens of milliseconds (negative mean asynchrony), more for those who do not play.
 * Repp, B. H. and Su, Y.-H. (2013), 'Sensorimotor synchronization: A review of recent research (2006-2012)', the same journal 20,
 * 403-452, has the same range. The first-order correction toward the beat, by about half of each error, is from both. Letting a key go is
 * less exact than pressing it: here twice the spread (Common practice, no source).
 */
export interface Singer {
  readonly random: Random;
  /** Standard deviation of a tap round where the singer means it, in seconds. */
  readonly spread: number;
  /** Mean asynchrony in seconds, below 0: early. */
  readonly lean: number;
  /** How much the tempo grows over the whole pass: 0.03 is three per cent faster at the end. */
  readonly drift: number;
}

/** A standard normal number (Box and Muller's way). */
export function normal(random: Random): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/**
 * Taps for what is meant to be sung: times of onsets and ends in seconds by an even clock.
 *
 * @param slips doubled taps (a second one some 90 ms later) and missed ones, by index
 */
export function tapsOf(
  meant: readonly { readonly from: number; readonly to: number }[],
  singer: Singer,
  slips: { readonly doubled?: number; readonly missed?: number } = {},
): Tap[] {
  const { random, spread, lean, drift } = singer;
  const whole = itemAt(meant, meant.length - 1).to;
  // A tempo that grows evenly: time runs a little shorter and shorter.
  const drifted = (seconds: number) => seconds - (drift * seconds * seconds) / (2 * whole);
  let last = 0;
  return meant.flatMap(({ from, to }, i): Tap[] => {
    // Half of the last error is still there: a run of taps wanders, and comes back.
    const error = spread * Math.sqrt(0.75) * normal(random) + last / 2;
    last = error;
    const downSeconds = drifted(from) + lean + error;
    const upSeconds = Math.max(downSeconds + 0.05, drifted(to) + lean + 2 * spread * normal(random));
    if (i === slips.missed) return [];
    if (i !== slips.doubled) return [{ downSeconds, upSeconds }];
    return [
      { downSeconds, upSeconds: downSeconds + 0.06 },
      {
        downSeconds: downSeconds + 0.09 + 0.02 * random(),
        upSeconds: Math.max(upSeconds, downSeconds + 0.16),
      },
    ];
  });
}
