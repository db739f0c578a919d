import { originOf } from '../fills';
import type { FreedomContext } from '../players';
import type { Extent, Player, Timeline } from '../song';
import type { Space } from '../spaces';

/** A space's extent from where its place counts. */
export function extentOf(space: Space): Extent {
  const origin = originOf(space);
  return { from: space.startTick - origin, to: space.endTick - origin };
}

/** The place among the timeline's passes of the one in which a space begins. */
export function passIndexOf(space: Space, timeline: Timeline): number {
  return timeline.passes.findIndex((placed) => placed.endTick > space.startTick);
}

/** Who plays at all in the pass in which a space begins: all but those who lay out. */
export function playersIn({ players, timeline }: FreedomContext, space: Space): readonly Player[] {
  const pass = timeline.passes[passIndexOf(space, timeline)]?.pass;
  return players.filter(({ id }) => pass?.roles[id] !== 'lay out');
}
