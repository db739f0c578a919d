import { type Standing, standingsIn } from '../plan';
import { type Answer, roadmapTimeline, type Song, type Timeline } from '../song';
import { type Phrase, phrasesAndSpaces, type Space } from '../spaces';
import { linesOf, type PassLines } from './lines';
import { type Fit, pixelsPerTick } from './spacing';

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

/** What of a song neither its time, nor its phrases and spaces, nor the cut into lines hang on. */
const SAID: ReadonlySet<string> = new Set<keyof Song>(['settled', 'proposals', 'votes', 'comments']);

const hangsOnTheSame = (one: Song, other: Song): boolean =>
  [...new Set([...Object.keys(one), ...Object.keys(other)])].every(
    (name) => SAID.has(name) || Reflect.get(one, name) === Reflect.get(other, name),
  );

/**
 * Computes everything that a song's page shows except offers. O(notes + bars + spaces) but for phrases' own search.
 *
 * @param before of the same word size and fit: what it found is taken over where only answers and comments changed since
 */
export function arrange(
  song: Song,
  wordSize: number = WORD_SIZE,
  fit: Fit | null = BOARD_FIT,
  before: Arrangement | null = null,
): Arrangement {
  const timeline = roadmapTimeline(song);
  const cut = before !== null && hangsOnTheSame(before.song, song) ? before : cutOf(timeline, wordSize, fit);
  const { phrases, spaces, passes } = cut;
  const { standings, homeless } = standingsIn(song.settled, timeline, spaces);
  const bySpace = new Map<string, Standing>();
  for (const standing of standings) if (standing.space) bySpace.set(standing.space.id, standing);
  return {
    song,
    timeline,
    phrases,
    spaces,
    passes,
    standings,
    bySpace,
    homeless,
    pixelsPerTick: cut.pixelsPerTick,
    sheetPixelsPerTick: cut.sheetPixelsPerTick,
  };
}

function cutOf(timeline: Timeline, wordSize: number, fit: Fit | null) {
  const { phrases, spaces } = phrasesAndSpaces(timeline);
  const passes = linesOf(timeline, phrases, spaces);
  return {
    phrases,
    spaces,
    passes,
    pixelsPerTick: pixelsPerTick(passes, wordSize, fit),
    sheetPixelsPerTick: pixelsPerTick(passes, wordSize, { width: PRINT_WIDTH, least: 0.6 }),
  };
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
