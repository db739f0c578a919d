import {
  type Arrangement,
  barsInWords,
  beatsInWords,
  cuesOf,
  placeInWords,
  secondsInWords,
} from '../../lib/parts';
import type { Inks } from './inks';

/** What a screen reader says of a space: where, how long, and what the band has settled. */
export function spaceLabel(
  arrangement: Arrangement,
  spaceId: string,
  playerOf: (id: string) => Inks | null,
): string {
  const space = arrangement.spaces.find((one) => one.id === spaceId);
  if (!space) return '';
  const holding = arrangement.bySpace.get(spaceId)?.answer.holding ?? null;
  const who = holding && holding.kind !== 'left open' ? (playerOf(holding.playerId)?.name ?? 'somebody') : '';
  const state =
    holding === null
      ? 'unclaimed'
      : holding.kind === 'left open'
        ? 'left open'
        : holding.kind === 'ad lib'
          ? `${who}, ad lib`
          : `${who} has a fill`;
  const lastBar = arrangement.timeline.barAt(Math.max(space.startTick, space.endTick - 1)).number;
  const place = placeInWords(space, cuesOf(arrangement, space).before);
  return `${place}, ${barsInWords(space.bar, lastBar)}: ${beatsInWords(space.beats)}, ${secondsInWords(space.seconds)}; ${state}`;
}
