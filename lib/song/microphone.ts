import type { Band } from './band';

/** How a band plays around one microphone. */
export interface OneMicrophone {
  /** From one's place up to the microphone. */
  readonly inSeconds: number;
  /** From the microphone back, far enough that somebody else has the room. */
  readonly outSeconds: number;
  /** Every player by id, from left to right as they stand facing the crowd; the microphone is before the middle. */
  readonly places: readonly string[];
}

/** The most that a way in or out may take: beyond that nobody plays around one microphone. */
export const MOST_STEP_SECONDS = 10;

/**
 * How a band stands and moves around its microphone; null: it has more than one. Who has no place yet stands at the right, in the
 * band's order; places of people who have left are passed over.
 */
export function microphoneOf(
  band: Pick<
    Band,
    'players' | 'oneMicrophone' | 'microphoneInSeconds' | 'microphoneOutSeconds' | 'microphonePlaces'
  >,
): OneMicrophone | null {
  if (!band.oneMicrophone) return null;
  const ids = band.players.map(({ id }) => id);
  return {
    inSeconds: band.microphoneInSeconds,
    outSeconds: band.microphoneOutSeconds,
    places: [...new Set([...band.microphonePlaces.filter((id) => ids.includes(id)), ...ids])],
  };
}
