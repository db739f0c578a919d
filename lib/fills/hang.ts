import type { Extent, Fill, FillNote, Timeline } from '../song';
import type { Space } from '../spaces';
import type { Ticks } from '../time';
import type { Offer } from './types';

/** The tick from which a space's fill counts: the onset of the note that it hangs on, or its pass's start. */
export function originOf(space: Space): Ticks {
  // A space that hangs on a pass's start begins there.
  if (space.place.noteId === null || space.after === null) return space.startTick;
  return space.after.startTick;
}

/** An offer as it is settled: its notes hung on the space's place, with the extent that it was made for. */
export function fillOf(
  offer: Pick<Offer, 'family' | 'notes'>,
  space: Space,
): { readonly fill: Fill; readonly extent: Extent } {
  const origin = originOf(space);
  return {
    fill: {
      family: offer.family,
      notes: offer.notes.map((note) => ({ ...note, tick: note.tick - origin })),
      chords: space.chords.map((chord) => ({
        tick: Math.max(chord.startTick, space.startTick) - origin,
        symbol: chord.symbol,
      })),
    },
    extent: { from: space.startTick - origin, to: space.endTick - origin },
  };
}

/**
 * The earliest tick at which notes for a space may begin: its start; a break's pickup may have the bar before it, as far as there is one and as
 * long as that is by its meter.
 */
export function earliestOf(space: Pick<Space, 'kind' | 'place' | 'startTick'>, timeline: Timeline): Ticks {
  const { kind, place, startTick } = space;
  if (kind !== 'instrumental' || place.noteId !== null || startTick === 0) return startTick;
  const before = timeline.barAt(startTick - 1);
  return before.endTick === startTick ? before.startTick : startTick;
}

/** A hung fill's notes back on the timeline, where its place now begins at `originTick`. */
export function fillNotesAt(fill: Fill, originTick: Ticks): readonly FillNote[] {
  return fill.notes.map((note) => ({ ...note, tick: note.tick + originTick }));
}
