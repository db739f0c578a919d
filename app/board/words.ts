import {
  type Arrangement,
  barsInWords,
  beatsInWords,
  cuesOf,
  placeInWords,
  secondsInWords,
  talkOf,
  unanswered,
} from '../../lib/parts';
import { type Space, spaceAt } from '../../lib/spaces';
import type { Inks } from './inks';

/** What a screen reader says of each space, by its id. */
export function labelsOf(
  arrangement: Arrangement,
  playerOf: (id: string) => Inks | null,
): ReadonlyMap<string, string> {
  const { bySpace } = talkOf(arrangement);
  return new Map(
    arrangement.spaces.map((space) => {
      const said =
        unanswered(bySpace.get(space.id) ?? []).length > 0
          ? '; something said of it is not answered yet'
          : '';
      return [space.id, `${spaceLabel(arrangement, space, playerOf)}${said}`];
    }),
  );
}

/** Where a space is, how long, and what the band has settled. */
function spaceLabel(arrangement: Arrangement, space: Space, playerOf: (id: string) => Inks | null): string {
  const holding = arrangement.bySpace.get(space.id)?.answer.holding ?? null;
  const who = holding && holding.kind !== 'left open' ? (playerOf(holding.playerId)?.name ?? 'somebody') : '';
  const state =
    holding === null
      ? 'unclaimed'
      : holding.kind === 'left open'
        ? 'left open'
        : holding.kind === 'ad lib'
          ? `${who}, ad lib`
          : `${who} has a fill`;
  const put = putAt(arrangement, space);
  const asked = put === 0 ? '' : `; ${put} put to the band`;
  const lastBar = arrangement.timeline.barAt(Math.max(space.startTick, space.endTick - 1)).number;
  const place = placeInWords(space, cuesOf(arrangement, space).before);
  return `${place}, ${barsInWords(space.bar, lastBar)}: ${beatsInWords(space.beats)}, ${secondsInWords(space.seconds)}; ${state}${asked}`;
}

/** How many answers were put to the band for a space. */
export const putAt = ({ song, spaces, timeline }: Arrangement, { id }: Space): number =>
  song.proposals.filter(({ place }) => spaceAt(spaces, place, timeline)?.id === id).length;
