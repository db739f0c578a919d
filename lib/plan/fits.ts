import { type Offer, offerFills } from '../fills';
import { type FreedomContext, whoIsFree } from '../players';
import { type Player, settingOf } from '../song';
import { narrowSpace, type Space } from '../spaces';
import type { Fits } from './types';

export const fitKey = (spaceId: string, playerId: string): string => `${spaceId} ${playerId}`;

/** As many offers are looked through as a page shows at first. */
const LOOKED_THROUGH = 3;

/** How far the work has come. */
export interface Progress {
  readonly done: number;
  readonly of: number;
}

/**
 * The best offer of each player who is free, space by space, as a generator that tells after each space how far it has come and
 * returns the table: so it can be shown and stopped. Each pass has ideas of its own: offers differ from space to space on purpose.
 */
export function* bestOffers(context: FreedomContext): Generator<Progress, Fits> {
  const fits = new Map<string, Offer | null>();
  for (const [index, space] of context.spaces.entries()) {
    for (const { playerId, free, stretch } of whoIsFree(space, context)) {
      const player = context.players.find((each) => each.id === playerId);
      if (!free || !stretch || !player) continue;
      fits.set(
        fitKey(space.id, playerId),
        bestOffer(narrowSpace(space, stretch, context.timeline), player, context),
      );
    }
    yield { done: index + 1, of: context.spaces.length };
  }
  return fits;
}

/** The table at once, for who need not be told how far it has come. */
export function allBestOffers(context: FreedomContext): Fits {
  const work = bestOffers(context);
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
  }
}

/** A player's best offer for a space (or for what they have of it); null: nothing fits. */
export function bestOffer(space: Space, player: Player, { timeline }: FreedomContext): Offer | null {
  // A break is worked out as a whole, elsewhere.
  if (space.kind === 'instrumental') return null;
  const setup = settingOf(timeline.song, player);
  const offers = offerFills({
    timeline,
    space,
    setup,
    rule: setup.rule ?? player.rule,
    spanMillimetres: player.spanMillimetres,
    comfortEighthsPerMinute: player.comfortEighthsPerMinute,
    count: LOOKED_THROUGH,
  });
  return offers.ok ? (offers.value[0] ?? null) : null;
}
