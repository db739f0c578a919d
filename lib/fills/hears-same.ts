import type { PlacedChord, Timeline } from '../song';
import type { Ticks } from '../time';

/** A stretch of a timeline, in ticks. */
interface Stretch {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
}

/**
 * Whether fills for a sung space, or for a part of it, are worked out from the same chords on two timelines that differ in nothing but
 * chords: those that hold in it, the one that it leads to and the one after that, and back to the chord from which the first was come to.
 */
export function hearsSame(one: Timeline, other: Timeline, space: Stretch): boolean {
  const ours = heardIn(one, space);
  const theirs = heardIn(other, space);
  return (
    ours.length === theirs.length &&
    ours.every((chord, i) => {
      const its = theirs[i];
      return (
        chord.symbol === its?.symbol && chord.startTick === its.startTick && chord.endTick === its.endTick
      );
    })
  );
}

function heardIn(timeline: Timeline, { startTick, endTick }: Stretch): readonly PlacedChord[] {
  const first = timeline.chordAt(startTick);
  let from = first;
  while (from !== null && from.symbol === first?.symbol)
    from = from.startTick > 0 ? timeline.chordAt(from.startTick - 1) : null;
  const next = timeline.chordAt(endTick);
  return timeline.chordsIn(from?.startTick ?? 0, Math.max(next?.endTick ?? 0, endTick) + 1);
}
