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
 * returns the table: so it can be shown and stopped. Where a pass comes again with the same notes, chords and neighbours, what was worked out holds again.
 */
export function* bestOffers(context: FreedomContext): Generator<Progress, Fits> {
  const fits = new Map<string, Offer | null>();
  const alike = new Map<string, AlikeOffer>();
  for (const [index, space] of context.spaces.entries()) {
    for (const { playerId, free, stretch } of whoIsFree(space, context)) {
      const player = context.players.find((each) => each.id === playerId);
      if (!free || !stretch || !player) continue;
      fits.set(
        fitKey(space.id, playerId),
        bestOffer(narrowSpace(space, stretch, context.timeline), player, context, alike),
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

interface AlikeOffer {
  readonly startTick: number;
  readonly offer: Offer | null;
}

/** A player's best offer for a space (or for what they have of it); null: nothing fits. `alike` keeps what was worked out. */
export function bestOffer(
  space: Space,
  player: Player,
  context: FreedomContext,
  alike: Map<string, AlikeOffer> = new Map(),
): Offer | null {
  const key = `${player.id} ${signature(space, context)}`;
  const known = alike.get(key);
  if (known) return known.offer && moved(known.offer, space.startTick - known.startTick);
  const setup = settingOf(context.timeline.song, player);
  const offers =
    space.kind === 'instrumental'
      ? null
      : offerFills({
          timeline: context.timeline,
          space,
          setup,
          rule: setup.rule ?? player.rule,
          spanMillimetres: player.spanMillimetres,
          comfortEighthsPerMinute: player.comfortEighthsPerMinute,
          count: LOOKED_THROUGH,
        });
  const offer = offers?.ok ? (offers.value[0] ?? null) : null;
  alike.set(key, { startTick: space.startTick, offer });
  return offer;
}

function moved(offer: Offer, by: number): Offer {
  return { ...offer, notes: offer.notes.map((note) => ({ ...note, tick: note.tick + by })) };
}

/** All that an offer is made from, as far as it can differ from one pass to another; ticks from the space's start. */
function signature(space: Space, { timeline }: FreedomContext): string {
  const from = space.startTick;
  const at = timeline.passes.findIndex((placed) => placed.endTick > from);
  const placed = timeline.passes[at];
  const near = (note: Space['after']) =>
    note && [note.note.midi, note.startTick - from, note.endTick - from, note.syllable !== null];
  return JSON.stringify([
    placed?.section.id,
    placed?.pass?.ending,
    placed && [from - placed.startTick, placed.endTick - from],
    timeline.passes[at + 1]?.section.id,
    space.kind,
    space.endTick - from,
    space.guardTicks,
    space.tailTicks,
    space.beat,
    timeline.tempo.tempoAt(from),
    near(space.after),
    near(space.before),
    timeline
      .chordsIn(from, space.endTick + BEYOND)
      .map((chord) => [
        chord.symbol,
        chord.startTick - from,
        Math.min(chord.endTick, space.endTick + BEYOND) - from,
      ]),
  ]);
}

/** An offer may look at the chord that begins after its space: a bar and more beyond it. */
const BEYOND = 8 * 960;
