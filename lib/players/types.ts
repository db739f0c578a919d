import type { Reason } from '../base';
import type { Answer, OneMicrophone, Player, Timeline } from '../song';
import type { Space } from '../spaces';
import type { Ticks } from '../time';

/** Whether one player could take a space, always with the reason. */
export interface Freedom {
  readonly playerId: string;
  readonly free: boolean;
  /** `weight`: the counted beats of the space that it takes from the player, below 0; 0 where it only informs. */
  readonly reasons: readonly Reason[];
  /** What the player has of the space, the longest stretch of it; null where there is nothing. */
  readonly stretch: { readonly startTick: Ticks; readonly endTick: Ticks } | null;
}

/**
 * What freedom is worked out from. Keep one context for all spaces of a song: what it asks of the song is
 * remembered with it.
 */
export interface FreedomContext {
  readonly timeline: Timeline;
  readonly players: readonly Player[];
  readonly spaces: readonly Space[];
  /** What the band has settled; the last answer for a place stands. */
  readonly settled: readonly Answer[];
  /** How the band moves around its one microphone (`microphoneOf`); null or left out: it has more than one. */
  readonly microphone?: OneMicrophone | null;
}
