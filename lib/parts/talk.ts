import type { Comment, Place, Timeline } from '../song';
import { spaceAt, tickOfPlace } from '../spaces';
import type { Arrangement } from './arrangement';
import type { Line } from './lines';

/** What is said of a song, by what it is said of, each in time order. Nothing that is said is left out. */
export interface Talk {
  readonly bySpace: ReadonlyMap<string, readonly Comment[]>;
  /** By a line's key. */
  readonly byLine: ReadonlyMap<string, readonly Comment[]>;
  readonly byPass: ReadonlyMap<string, readonly Comment[]>;
  readonly ofSong: readonly Comment[];
}

/**
 * Where a word on a line hangs: on the first note that is sung in it, without a voice, since the line is all that is sung there. Null where
 * nobody sings: then it is said of the pass.
 */
export function placeOfLine(line: Line, passId: string, timeline: Timeline): Place | null {
  let first: { readonly tick: number; readonly noteId: string } | null = null;
  for (const voice of timeline.notes.values()) {
    const note = voice.find(({ startTick }) => startTick >= line.startTick);
    if (note && note.startTick < line.endTick && (first === null || note.startTick < first.tick))
      first = { tick: note.startTick, noteId: note.note.id };
  }
  return first && { passId, noteId: first.noteId, voiceId: null };
}

/** Where a word on a pass hangs: on its start, as what is said of a silence before its first words does. */
export const placeOfPass = (passId: string): Place => ({ passId, noteId: null, voiceId: null });

/** Whether a place is that of a line. */
export const isOfLine = ({ noteId, voiceId }: Place): boolean => noteId !== null && voiceId === null;

/** The line that sounds at a place of a pass; null where the place is gone. */
export function lineAt({ passes, timeline }: Arrangement, place: Place): Line | null {
  const tick = tickOfPlace(timeline, place);
  if (tick === null) return null;
  const lines = passes.find(({ passId }) => passId === place.passId)?.lines;
  return lines?.find(({ startTick, endTick }) => startTick <= tick && tick < endTick) ?? null;
}

/**
 * Finds what each comment is of. What was said of a space that is no more is of the line in which it was; of a line that is no more, of its
 * pass; of a pass that was cut, of the song. What hangs on a pass's start is of the pass, and of the space that begins there too.
 */
export function talkOf(arrangement: Arrangement): Talk {
  const { song, spaces, timeline } = arrangement;
  const bySpace = new Map<string, Comment[]>();
  const byLine = new Map<string, Comment[]>();
  const byPass = new Map<string, Comment[]>();
  const ofSong: Comment[] = [];
  const put = (map: Map<string, Comment[]>, id: string, comment: Comment) => {
    const there = map.get(id);
    if (there) there.push(comment);
    else map.set(id, [comment]);
  };
  for (const comment of song.comments) {
    const { place } = comment;
    if (place === null || !song.passes.some(({ id }) => id === place.passId)) {
      ofSong.push(comment);
      continue;
    }
    const space = isOfLine(place) ? null : spaceAt(spaces, place, timeline);
    if (space) put(bySpace, space.id, comment);
    if (place.noteId === null) put(byPass, place.passId, comment);
    else if (!space) {
      const line = lineAt(arrangement, place);
      if (line) put(byLine, line.key, comment);
      else put(byPass, place.passId, comment);
    }
  }
  return { bySpace, byLine, byPass, ofSong };
}

/**
 * What of a talk nobody has answered yet: who speaks after others answers them all, and says nothing new of their own by it. Who nobody
 * knows is answered by whoever is known.
 *
 * @param said in time order
 */
export function unanswered(said: readonly Comment[]): readonly Comment[] {
  let open: readonly Comment[] = [];
  for (const comment of said) {
    const isAnswer = open.some(({ by }) => by !== comment.by);
    open = isAnswer ? open.filter(({ by }) => by === comment.by) : [...open, comment];
  }
  return open;
}
