import { type Place, type PlacedNote, type PlacedPass, samePlace, type Timeline } from '../song';
import type { Ticks } from '../time';
import type { Space } from './types';

/** The place's pass in the song as written, which has no passes of its own. */
export const WRITTEN = 'written';

/** The pass id that a place on this timeline carries: the pass's own, or `written` for the song as written. */
export function passIdOf(note: PlacedNote): string {
  return note.passId ?? WRITTEN;
}

/**
 * The start of a pass as a place. As written, a later section's start names the section too, so that two of them are
 * two places.
 */
export function startPlace(timeline: Timeline, pass: PlacedPass): Place {
  const isFirst = timeline.passes[0] === pass;
  const written = isFirst ? WRITTEN : `${WRITTEN}:${pass.section.id}`;
  return { passId: pass.pass?.id ?? written, noteId: null, voiceId: null };
}

export function notePlace(note: PlacedNote): Place {
  return { passId: passIdOf(note), noteId: note.note.id, voiceId: note.voiceId };
}

/** The id of a space that hangs on a place: the same song gives the same ids. */
export function spaceId(place: Place): string {
  return `${place.passId}.${place.noteId ?? 'start'}`;
}

interface Places {
  readonly notes: ReadonlyMap<string, PlacedNote>;
  readonly starts: ReadonlyMap<string, PlacedPass>;
}

/** Remembered by timeline, which never changes. */
const known = new WeakMap<Timeline, Places>();

function placesOf(timeline: Timeline): Places {
  const before = known.get(timeline);
  if (before) return before;
  const notes = new Map<string, PlacedNote>();
  for (const voice of timeline.notes.values()) {
    for (const note of voice) notes.set(spaceId(notePlace(note)), note);
  }
  const starts = new Map<string, PlacedPass>();
  for (const pass of timeline.passes) starts.set(spaceId(startPlace(timeline, pass)), pass);
  const places = { notes, starts };
  known.set(timeline, places);
  return places;
}

/** The tick from which an answer's extent and notes count: the onset of the place's note, or its pass's start; null where it is gone. */
export function tickOfPlace(timeline: Timeline, place: Place): Ticks | null {
  const places = placesOf(timeline);
  const found = place.noteId === null ? places.starts : places.notes;
  return found.get(spaceId(place))?.startTick ?? null;
}

/**
 * The space that an answer's place belongs to: the one that hangs on the same place; else (another voice now lets go
 * last, say) the first that begins after the onset of the place's note and before that voice's next note, or from the
 * start of the pass on and before the pass's first note. Null where there is none any more: then the answer no
 * longer fits.
 */
export function spaceAt(spaces: readonly Space[], place: Place, timeline: Timeline): Space | null {
  const same = spaces.find((space) => samePlace(space.place, place));
  if (same) return same;
  const from = tickOfPlace(timeline, place);
  if (from === null) return null;
  const to = place.noteId === null ? firstNoteOfPass(timeline, place) : nextOnset(timeline, place);
  return spaces.find((space) => space.startTick >= from && space.startTick < to) ?? null;
}

function nextOnset(timeline: Timeline, place: Place): Ticks {
  const note = placesOf(timeline).notes.get(spaceId(place));
  const next = note && timeline.notes.get(note.voiceId)?.[note.index + 1];
  return next?.startTick ?? timeline.endTick;
}

function firstNoteOfPass(timeline: Timeline, place: Place): Ticks {
  const pass = placesOf(timeline).starts.get(spaceId(place));
  let first = pass?.endTick ?? 0;
  for (const voice of timeline.notes.values()) {
    const note = voice.find((each) => each.startTick >= (pass?.startTick ?? 0));
    if (note) first = Math.min(first, note.startTick);
  }
  return first;
}
