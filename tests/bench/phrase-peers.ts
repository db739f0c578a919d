/**
 * Two published rules for where phrases end, written from their formulas, to measure ours beside. Each gives the notes after
 * which a phrase ends.
 */
import { itemAt } from '../../lib/base';
import type { PlacedNote } from '../../lib/song';

/** A boundary's strength is compared with this before it counts as one; chosen for the best mean F1 on what is measured here. */
export const LBDM_THRESHOLDS = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8];

/**
 * The local boundary detection model. Source: E. Cambouropoulos, The local boundary detection model (LBDM) and its application
 * in the study of expressive timing, Proc. ICMC 2001, by the formulas that the project's own brief of it gives: for the
 * profiles of pitch steps, times between onsets and rests, the degree of change r = |x1 − x2| / (x1 + x2) between neighbours, the
 * strength of an interval x · (r before + r after), each profile divided by its greatest value, weights 0.25, 0.5, 0.25.
 * A boundary stands at a local peak that reaches the threshold.
 */
export function lbdmEnds(melody: readonly PlacedNote[], threshold: number): number[] {
  const pairs = melody.slice(1).map((next, i) => ({ note: itemAt(melody, i), next }));
  const pitch = profile(
    pairs.map(({ note, next }) => Math.abs((next.note.midi ?? 0) - (note.note.midi ?? 0))),
  );
  const onset = profile(pairs.map(({ note, next }) => next.startTick - note.startTick));
  const rest = profile(pairs.map(({ note, next }) => Math.max(0, next.startTick - note.endTick)));
  const strength = pairs.map(
    (_, i) => 0.25 * itemAt(pitch, i) + 0.5 * itemAt(onset, i) + 0.25 * itemAt(rest, i),
  );
  return strength.flatMap((each, i) => {
    const isPeak = each > (strength[i - 1] ?? 0) && each >= (strength[i + 1] ?? 0);
    return isPeak && each >= threshold ? [i] : [];
  });
}

function profile(intervals: readonly number[]): number[] {
  const change = (a: number | undefined, b: number | undefined) =>
    a === undefined || b === undefined || a + b === 0 ? 0 : Math.abs(a - b) / (a + b);
  const strengths = intervals.map((x, i) => x * (change(intervals[i - 1], x) + change(x, intervals[i + 1])));
  const most = Math.max(...strengths, 0);
  return most === 0 ? strengths : strengths.map((each) => each / most);
}

/**
 * The rest rule, grouping preference rule 2a. Source: F. Lerdahl and R. Jackendoff, A generative theory of tonal music, 1983,
 * in the form of B. Frankland and A. Cohen, Parsing of melody, Music Perception 21(4), 2004: of four notes, the boundary is
 * between the middle two where the silence between them is longer than those on either side.
 */
export function restRuleEnds(melody: readonly PlacedNote[]): number[] {
  const silence = (i: number) => {
    const [note, next] = [melody[i], melody[i + 1]];
    return note && next ? Math.max(0, next.startTick - note.endTick) : 0;
  };
  return melody.flatMap((_, i) =>
    i + 1 < melody.length && silence(i) > silence(i - 1) && silence(i) > silence(i + 1) ? [i] : [],
  );
}
