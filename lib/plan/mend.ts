import { fillOf, type Offer, originOf } from '../fills';
import { type FreedomContext, whoIsFree } from '../players';
import {
  type Answer,
  type Band,
  type Extent,
  type Holding,
  type Place,
  type Song,
  type Timeline,
  type Word,
  wordOnSettling,
} from '../song';
import { narrowSpace, type Space, tickOfPlace } from '../spaces';
import { extentOf } from './band-there';
import type { MendEdit } from './clash-types';
import { bestOffer } from './fits';

/** What is to be settled, as an edit takes it. */
export type Settling = Pick<Answer, 'place' | 'extent' | 'holding'>;

/**
 * What a mend would settle; null: it takes back what is settled, or its space is no longer there. Works a fill out where the mend
 * asks for one, so it is asked for when the mend is wanted.
 */
export function settlingOf(edit: MendEdit, context: FreedomContext): Settling | null {
  if (edit.kind === 'unsettle') return null;
  if (edit.kind === 'settle') return edit;
  const space = context.spaces.find(({ id }) => id === edit.spaceId);
  return space ? settlingFor(space, edit.playerId, edit.place, context) : null;
}

/** Whose word it is to mend so. Who holds the place afterwards is known before a fill is worked out; its notes change nothing in that. */
export function wordOnMend(
  band: Pick<Band, 'leaderId' | 'players' | 'votes'>,
  song: Pick<Song, 'settled' | 'proposals' | 'votes'>,
  edit: MendEdit,
): Word {
  const { place, kind } = edit;
  if (kind === 'unsettle') return wordOnSettling(band, song, place, null);
  const holding: Holding = kind === 'settle' ? edit.holding : { kind: 'ad lib', playerId: edit.playerId };
  return wordOnSettling(band, song, place, holding);
}

/** The player's best offer for the space, hung on a place of it; ad lib where nothing fits. */
function settlingFor(space: Space, playerId: string, place: Place, context: FreedomContext): Settling {
  const player = context.players.find(({ id }) => id === playerId);
  const stretch = whoIsFree(space, context).find((freedom) => freedom.playerId === playerId)?.stretch;
  const offer =
    player && stretch ? bestOffer(narrowSpace(space, stretch, context.timeline), player, context) : null;
  return settlingAt(place, space, playerId, offer, context.timeline);
}

/** A player's offer for a space (null: ad lib), hung on a place that belongs to it. */
export function settlingAt(
  place: Place,
  space: Space,
  playerId: string,
  offer: Offer | null,
  timeline: Timeline,
): Settling {
  const by = originOf(space) - (tickOfPlace(timeline, place) ?? originOf(space));
  const moved = ({ from, to }: Extent): Extent => ({ from: from + by, to: to + by });
  if (!offer) return { place, extent: moved(extentOf(space)), holding: { kind: 'ad lib', playerId } };
  const { fill, extent } = fillOf(offer, space);
  const later = <T extends { readonly tick: number }>(item: T): T => ({ ...item, tick: item.tick + by });
  const holding: Holding = {
    kind: 'fill',
    playerId,
    fill: { ...fill, notes: fill.notes.map(later), chords: fill.chords.map(later) },
  };
  return { place, extent: moved(extent), holding };
}
