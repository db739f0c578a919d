import { asBefore } from '../base';
import { type Standing, standingsIn } from '../plan';
import { type Answer, roadmapTimeline, type Song, type Timeline } from '../song';
import { DEFAULT_SPACE_OPTIONS, findPhrases, type Phrase, type Space, spacesOfPhrases } from '../spaces';
import { linesOf, type PassLines } from './lines';
import { type Fit, pixelsPerTick } from './spacing';
import { firstFrom } from './window';

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
/** Nor do phrases hang on what is played under them. */
const SAID_AND_CHORDS: ReadonlySet<string> = new Set<string>([...SAID, 'chords' satisfies keyof Song]);

/** Whether two states of a song sound alike: they differ at most in who has which space, and in what is said about it. */
export const soundsSame = (one: Song, other: Song): boolean => one === other || sameBut(SAID, one, other);

/** Whether they differ at most in that, and in chords: what is sung, its time and its spaces are the same. */
export const singsSame = (one: Song, other: Song): boolean =>
  one === other || sameBut(SAID_AND_CHORDS, one, other);

const sameBut = (but: ReadonlySet<string>, one: Song, other: Song): boolean =>
  [...new Set([...Object.keys(one), ...Object.keys(other)])].every(
    (name) => but.has(name) || Reflect.get(one, name) === Reflect.get(other, name),
  );

/**
 * Computes everything that a song's page shows except offers. O(notes + bars + spaces) but for phrases' own search.
 *
 * @param before of another state of the same song, of the same word size and fit: each space, line, pass and standing that says the same
 *   is the very same object again
 */
export function arrange(
  song: Song,
  wordSize: number = WORD_SIZE,
  fit: Fit | null = BOARD_FIT,
  before: Arrangement | null = null,
): Arrangement {
  const timeline = roadmapTimeline(song);
  const cut =
    before !== null && sameBut(SAID, before.song, song) ? before : cutOf(timeline, wordSize, fit, before);
  const { phrases, spaces, passes } = cut;
  const found = standingsIn(song.settled, timeline, spaces);
  const standingBefore = new Map(before?.standings.map((one) => [one.answer.id, one]));
  const standings = found.standings.map((one) => asBefore(standingBefore.get(one.answer.id), one));
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
    homeless: found.homeless,
    pixelsPerTick: cut.pixelsPerTick,
    sheetPixelsPerTick: cut.sheetPixelsPerTick,
  };
}

function cutOf(timeline: Timeline, wordSize: number, fit: Fit | null, before: Arrangement | null) {
  const phrases =
    before !== null && sameBut(SAID_AND_CHORDS, before.song, timeline.song)
      ? before.phrases
      : findPhrases(timeline, DEFAULT_SPACE_OPTIONS);
  const spaceBefore = new Map(before?.spaces.map((space) => [space.id, space]));
  const spaces = spacesOfPhrases(timeline, phrases).map((one) => asBefore(spaceBefore.get(one.id), one));
  const passes = passesAsBefore(before?.passes ?? [], linesOf(timeline, phrases, spaces));
  const isSame = before?.passes === passes;
  return {
    phrases,
    spaces,
    passes,
    pixelsPerTick: isSame ? before.pixelsPerTick : pixelsPerTick(passes, wordSize, fit),
    sheetPixelsPerTick: isSame
      ? before.sheetPixelsPerTick
      : pixelsPerTick(passes, wordSize, { width: PRINT_WIDTH, least: 0.6 }),
  };
}

function passesAsBefore(before: readonly PassLines[], now: readonly PassLines[]): readonly PassLines[] {
  const lines = new Map(before.flatMap((pass) => pass.lines.map((line) => [line.key, line])));
  const passes = now.map((pass, i) =>
    asBefore(before[i], { ...pass, lines: pass.lines.map((line) => asBefore(lines.get(line.key), line)) }),
  );
  return passes.length === before.length && passes.every((pass, i) => pass === before[i]) ? before : passes;
}

/** The words just before and just after a space, as a player would hear the cue. O(log n) but for the first one asked. */
export function cuesOf(
  arrangement: Arrangement,
  space: Space,
): { readonly before: string; readonly after: string } {
  const voiceId = space.after?.voiceId ?? space.before?.voiceId;
  const own = voiceId === undefined ? [] : (byVoice(arrangement.phrases).get(voiceId) ?? []);
  const before = own[firstFrom(own, space.startTick) - 1]?.words ?? '';
  const after = own[firstFrom(own, space.endTick)]?.words ?? '';
  return { before: lastWords(before, 3), after: firstWords(after, 3) };
}

const voices = new WeakMap<readonly Phrase[], ReadonlyMap<string, readonly Phrase[]>>();

/** Phrases by their voice, in time order; remembered with the phrases. */
function byVoice(phrases: readonly Phrase[]): ReadonlyMap<string, readonly Phrase[]> {
  const known = voices.get(phrases);
  if (known) return known;
  const found = new Map<string, Phrase[]>();
  for (const phrase of phrases) {
    const own = found.get(phrase.voiceId);
    if (own) own.push(phrase);
    else found.set(phrase.voiceId, [phrase]);
  }
  for (const own of found.values()) own.sort((a, b) => a.startTick - b.startTick);
  voices.set(phrases, found);
  return found;
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
