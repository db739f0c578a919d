import { itemAt, lastOf } from '../base';
import type { Articulation } from '../instruments';
import { FEWEST_NOTES } from './costs';

/** A note as it sounds, whatever string has it. */
export interface Sounded {
  readonly tick: number;
  readonly midi: number;
  readonly articulation: Articulation;
}

/** What a draft is called: a text, or what its notes make of it once both hands are planned. */
export type Title = string | ((sounded: readonly Sounded[]) => string);

export const titleOf = (title: Title, sounded: readonly Sounded[]): string =>
  typeof title === 'string' ? title : title(sounded);

/** How a line goes, as a musician says it. */
export type Course = 'up' | 'down' | 'up and down' | 'down and up';

/** Semitones: a step back is no turn, nor is this share of the whole way; a line's ends are within a step of its highest and lowest. */
const STEP = 2;
const SHARE = 1 / 3;

/**
 * How a line goes, by its own pitches: one way throughout, small steps back apart, or with one turn; null where it winds, which has no such
 * name. There and back in three notes is no run.
 */
export function courseOf(pitches: readonly number[]): Course | null {
  if (pitches.length < 2) return null;
  if (rises(pitches)) return 'up';
  if (rises(pitches.map((midi) => -midi))) return 'down';
  if (pitches.length <= FEWEST_NOTES) return null;
  if (peaks(pitches)) return 'up and down';
  return peaks(pitches.map((midi) => -midi)) ? 'down and up' : null;
}

/** Whether a line comes from its lowest note, or a step above, to its highest, or a step below, without a turn. */
function rises(pitches: readonly number[]): boolean {
  const first = itemAt(pitches, 0);
  const last = lastOf(pitches);
  const top = Math.max(...pitches);
  const bottom = Math.min(...pitches);
  if (last <= first || top - last > STEP || first - bottom > STEP) return false;
  const furthestBack = Math.max(...pitches.map((midi, i) => Math.max(...pitches.slice(0, i + 1)) - midi));
  return furthestBack <= Math.max(STEP, (top - bottom) * SHARE) && furthestBack < last - first;
}

/** Whether a line rises to one highest note in its middle and falls from there. */
function peaks(pitches: readonly number[]): boolean {
  const at = pitches.indexOf(Math.max(...pitches));
  if (at === 0 || at === pitches.length - 1) return false;
  return rises(pitches.slice(0, at + 1)) && rises(pitches.slice(at).map((midi) => -midi));
}

/** 'a run up', 'a walk down and up': the words of a title that say how a line goes. */
const COURSE_WORDS = /\b(run|walk|line|tag lick)( (up and down|down and up|up|down))?\b/;
/** What a roll ends with; how many notes there are and how long; the tones that a low figure names; the octave that a tag lick goes to. */
const ENDING_WORDS = /, then a (run|line)( (up and down|down and up|up|down))?(?= into )/;
const COUNT_WORDS = / (in (quarters|sixteenths|long notes)|of (three|four) notes|on five notes)\b/g;
const FIGURE_WORDS = /^(root, fifth and octave|root and the fifth (above|below)|the roots)(?= over )/;
const REGISTER_WORDS = / the (low|middle|high)(?= [A-G])/;

const CHOKE_WORDS = ', with a choke';

/** An idea's title once its notes are others: what it said of the old ones and does not hold for these is left out. */
export function retitled(title: string, sounded: readonly Sounded[]): string {
  // Somebody's own words.
  if (title.startsWith('“')) return title;
  const plain = title
    .replace(ENDING_WORDS, ',')
    .replace(COUNT_WORDS, '')
    .replace(FIGURE_WORDS, 'root and fifth')
    .replace(REGISTER_WORDS, '')
    .replace(CHOKE_WORDS, sounded.some((note) => note.articulation === 'choke') ? CHOKE_WORDS : '');
  const course = courseOf(sounded.map((note) => note.midi));
  return plain.replace(COURSE_WORDS, (_, name: string) => (course === null ? name : `${name} ${course}`));
}
