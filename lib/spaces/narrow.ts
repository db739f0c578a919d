import type { Timeline } from '../song';
import type { Ticks } from '../time';
import { BeatClock, secondsIn } from './clock';
import type { Space } from './types';

/**
 * The part of a space that one player has: the same space, on the same place, from where they come free to where they
 * are wanted again. What is cut off at its end is not the singer's to come in on, so it needs no guard, and no sung note
 * follows at once.
 */
export function narrowSpace(
  space: Space,
  stretch: { readonly startTick: Ticks; readonly endTick: Ticks },
  timeline: Timeline,
): Space {
  const startTick = Math.max(space.startTick, stretch.startTick);
  const endTick = Math.min(space.endTick, stretch.endTick);
  if (startTick === space.startTick && endTick === space.endTick) return space;
  const clock = new BeatClock(timeline);
  const isCut = endTick < space.endTick;
  return {
    ...space,
    startTick,
    endTick,
    beats: clock.beatsBetween(startTick, endTick),
    seconds: secondsIn(timeline, { startTick, endTick }, space.after),
    ...clock.countAt(startTick),
    tailTicks: Math.max(0, space.tailTicks - (startTick - space.startTick)),
    guardTicks: isCut ? 0 : Math.min(space.guardTicks, endTick - startTick),
    before: isCut ? null : space.before,
    chords: timeline.chordsIn(startTick, endTick),
  };
}
