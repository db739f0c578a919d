import { openStrings } from '../instruments';
import { type Answer, type FillNote, roadmapTimeline, type Song, type Timeline } from '../song';
import { type Phrase, phrasesAndSpaces, type Space, spaceAt, tickOfPlace } from '../spaces';
import type { Ticks } from '../time';
import { linesOf, type PassLines } from './lines';
import { type Fit, pixelsPerTick } from './spacing';

/** What the band settled for a space, where it stands in time. */
export interface Standing {
  readonly answer: Answer;
  /** The space that it answers; null where there is none any more: it is kept, and shown as no longer fitting. */
  readonly space: Space | null;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  /** Of a fill, with ticks from the timeline's start. */
  readonly notes: readonly FillNote[];
  /** Why it no longer fits what it was made for, as a clause; null: it does. It is kept all the same. */
  readonly misfit: string | null;
}

/** A song with all that is computed from it for a page: its time, lines, spaces and what stands in them. */
export interface Arrangement {
  readonly song: Song;
  readonly timeline: Timeline;
  readonly phrases: readonly Phrase[];
  readonly spaces: readonly Space[];
  readonly passes: readonly PassLines[];
  readonly standings: readonly Standing[];
  /** By space id; the last answer stands. */
  readonly bySpace: ReadonlyMap<string, Standing>;
  /** For answers whose place is no longer in the song. */
  readonly homeless: readonly Answer[];
  readonly pixelsPerTick: number;
  /** Likewise, squeezed so that lines fit a sheet's width, for lines in which nothing is played from the page. */
  readonly sheetPixelsPerTick: number;
}

/** Size of the words in CSS pixels: the page's, and print's 14 pt. */
export const WORD_SIZE = 21;
export const PRINT_WORD_SIZE = 18.7;
/** What A4 leaves between margins of 13 mm, in CSS pixels; Letter is a little wider. */
export const PRINT_WIDTH = 690;

/** A line of four bars goes into a row on a laptop, if its words can bear it. */
const BOARD_FIT: Fit = { width: 1060, least: 0.7 };

/** Computes everything that a song's page shows except offers. O(notes + bars + spaces) but for phrases' own search. */
export function arrange(song: Song, wordSize: number = WORD_SIZE, fit: Fit | null = BOARD_FIT): Arrangement {
  const timeline = roadmapTimeline(song);
  const { phrases, spaces } = phrasesAndSpaces(timeline);
  const passes = linesOf(timeline, phrases, spaces);
  const standings: Standing[] = [];
  const homeless: Answer[] = [];
  const bySpace = new Map<string, Standing>();
  for (const answer of song.settled) {
    const origin = tickOfPlace(timeline, answer.place);
    if (origin === null) {
      homeless.push(answer);
      continue;
    }
    const standing = standingOf(answer, origin, spaceAt(spaces, answer.place, timeline), timeline);
    standings.push(standing);
    if (standing.space) bySpace.set(standing.space.id, standing);
  }
  return {
    song,
    timeline,
    phrases,
    spaces,
    passes,
    standings,
    bySpace,
    homeless,
    pixelsPerTick: pixelsPerTick(passes, wordSize, fit),
    sheetPixelsPerTick: pixelsPerTick(passes, wordSize, { width: PRINT_WIDTH, least: 0.6 }),
  };
}

function standingOf(answer: Answer, origin: Ticks, space: Space | null, timeline: Timeline): Standing {
  const startTick = origin + answer.extent.from;
  const endTick = origin + answer.extent.to;
  const notes =
    answer.holding.kind === 'fill'
      ? answer.holding.fill.notes.map((note) => ({ ...note, tick: note.tick + origin }))
      : [];
  return {
    answer,
    space,
    startTick,
    endTick,
    notes,
    misfit: misfitOf(answer, notes, origin, space, timeline),
  };
}

function misfitOf(
  answer: Answer,
  notes: readonly FillNote[],
  origin: Ticks,
  space: Space | null,
  timeline: Timeline,
): string | null {
  const { holding } = answer;
  if (space === null) return 'its space is gone';
  if (holding.kind !== 'fill') return null;
  const last = notes[notes.length - 1];
  const first = notes[0];
  if (first && last && (first.tick < space.startTick || last.tick + last.ticks > space.endTick)) {
    return 'its space is shorter now';
  }
  if (!standsOnSetup(notes, timeline.song, holding.playerId))
    return 'made for another capo, tuning or instrument';
  const chords = holding.fill.chords;
  const isSame = chords.every(({ tick, symbol }) => timeline.chordAt(origin + tick)?.symbol === symbol);
  return isSame ? null : 'made over other chords';
}

/** Whether each note still sounds as written where it is written; true where the song does not say how they play. */
function standsOnSetup(notes: readonly FillNote[], song: Song, playerId: string): boolean {
  const setup = song.settings.find((setting) => setting.playerId === playerId);
  if (!setup) return true;
  const strings = openStrings(setup);
  if (!strings.ok) return false;
  const open = new Map(strings.value.map((string) => [string.string, string.midi]));
  return notes.every((note) => open.get(note.string) === note.midi - note.fret);
}

/** The words just before and just after a space, as a player would hear the cue. */
export function cuesOf(
  arrangement: Arrangement,
  space: Space,
): { readonly before: string; readonly after: string } {
  const voiceId = space.after?.voiceId ?? space.before?.voiceId;
  const own = arrangement.phrases.filter((phrase) => phrase.voiceId === voiceId);
  const before = own.findLast((phrase) => phrase.startTick < space.startTick)?.words ?? '';
  const after = own.find((phrase) => phrase.startTick >= space.endTick)?.words ?? '';
  return { before: lastWords(before, 3), after: firstWords(after, 3) };
}

function lastWords(words: string, count: number): string {
  const parts = words.split(/\s+/).filter((word) => word !== '');
  return parts
    .slice(-count)
    .join(' ')
    .replace(/[,;:.]$/, '');
}

function firstWords(words: string, count: number): string {
  const parts = words.split(/\s+/).filter((word) => word !== '');
  return parts
    .slice(0, count)
    .join(' ')
    .replace(/[,;:.]$/, '');
}
