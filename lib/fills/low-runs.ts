import { itemAt, lastOf } from '../base';
import type { OpenString } from '../instruments';
import { pitchClassOf } from '../theory';
import { beatTicks, isCompound, type Ticks } from '../time';
import type { Draft } from './candidate';
import { FEWEST_NOTES } from './costs';
import { type Contour, type Line, searchLine } from './line';
import { runNotes } from './line-notes';
import { type Harmony, type Scene, type Slot, slotsOf } from './scene';
import { chordNameOf, lineSeed } from './words';

/** A bass run or a walk keeps to the lowest octave and a half of the instrument. */
const LOW_REGISTER = 17;
/** It is two bars of quarters at most, and the note that it goes to. */
const LONGEST_WALK = 9;
/** What a place of the grid that is left out before a run begins costs, in points of `LINE_COSTS`. Common practice, no source. */
const LATE = 1.5;

/** Where a low line goes. */
interface Goal {
  readonly harmony: Harmony;
  /** True: the next chord begins as the space ends (or within a beat), and the last note is a step away from its root. */
  readonly leads: boolean;
  /** The line's last place ends here at the latest. */
  readonly until: Ticks;
}

/**
 * A low line from the root of the chord that sounds, by steps, through the guard, under the singer's pickup. Where the next chord begins
 * as the space ends, or within a beat, the last note is a step from its root; where a chord changes inside the space the line may
 * come to rest on its root; where none changes any more, on the chord's own root.
 */
export function lowRuns(
  scene: Scene,
  strings: readonly OpenString[],
  family: string,
  contours: readonly Contour[],
  steps: readonly Ticks[],
): readonly Draft[] {
  const grid = stepsIn(scene, steps);
  return goalsOf(scene).flatMap((goal) =>
    grid.flatMap((step) =>
      contours.flatMap((contour) => {
        const draft = lowRun(scene, strings, family, contour, step, goal);
        return draft ? [draft] : [];
      }),
    ),
  );
}

/** In compound meters beats, long and short by turns, and their third parts; elsewhere as asked. */
function stepsIn(scene: Scene, steps: readonly Ticks[]): readonly Ticks[] {
  const { meter } = scene.timeline.barAt(scene.startTick).bar;
  if (!isCompound(meter)) return steps;
  const beat = beatTicks(meter);
  return [...new Set(steps.map((step) => (step < 960 ? beat / 3 : beat))), (beat / 3) * 2];
}

/** The ends that a low line may go for, at most two: the chord after the space, and the last one that begins in it, or stays. */
function goalsOf(scene: Scene): readonly Goal[] {
  const goals: Goal[] = [];
  const last = lastOf(scene.harmonies);
  const next = nextAfter(scene, last);
  if (next) goals.push({ harmony: next, leads: true, until: scene.endTick });
  const rests = { harmony: last, leads: false, until: scene.endTick };
  if (!next || last.startTick > scene.startTick) goals.push(rests);
  return goals;
}

/** The chord that follows a space's last one as the space ends, or a beat later at most; null: it stays. */
function nextAfter(scene: Scene, last: Harmony): Harmony | null {
  const beat = beatTicks(scene.timeline.barAt(scene.endTick - 1).bar.meter);
  const { next } = scene;
  if (next.chord.bass !== last.chord.bass) return next;
  const after = scene.after;
  return after && after.startTick <= scene.endTick + beat && after.chord.bass !== last.chord.bass
    ? after
    : null;
}

function lowRun(
  scene: Scene,
  strings: readonly OpenString[],
  family: string,
  contour: Contour,
  step: Ticks,
  goal: Goal,
): Draft | null {
  const { lift } = scene.wish;
  const lowest = Math.min(...strings.map((each) => each.midi)) + Math.max(0, lift);
  const all = slotsOf(scene, step, scene.startTick, goal.until);
  const end = goal.leads ? all.length : restingPlace(all, goal) + 1;
  const rest = all[end - 1];
  if (!goal.leads && (rest === undefined || rest.tick < goal.harmony.startTick)) return null;
  let best: { readonly slots: readonly Slot[]; readonly line: Line; readonly cost: number } | null = null;
  for (let from = Math.max(0, end - LONGEST_WALK); from <= end - FEWEST_NOTES; from++) {
    const slots = all.slice(from, end);
    if (itemAt(slots, 0).strength < 2) continue;
    const line = searchLine({
      slots,
      lowest,
      highest: lowest + LOW_REGISTER + Math.min(0, lift),
      middle: lowest + 8,
      from: null,
      startsOnBass: true,
      contour,
      notes: 'key',
      scale: scene.scale,
      // A walk that rests does so on the root.
      sungNext: goal.leads ? null : goal.harmony.chord.root,
      leadsTo: goal.leads ? goal.harmony : null,
      walk: true,
      bass: true,
      seed: lineSeed(scene, `${family} ${contour} ${step}`),
    });
    if (!line || !arrives(line, goal)) continue;
    const cost = line.cost + LATE * from;
    if (best === null || cost < best.cost) best = { slots, line, cost };
  }
  if (!best) return null;
  const { slots, line } = best;
  const goes = wayOf(line.pitches);
  if (goes === null) return null;
  const beat = beatTicks(scene.timeline.barAt(scene.startTick).bar.meter);
  const pace = step < 960 ? '' : step === 960 && beat === 960 ? ' in quarters' : '';
  return {
    family,
    title: `a ${family}${goes}${pace} to ${chordNameOf(goal.harmony.chord)}`,
    notes: runNotes(scene, slots, line.pitches, scene.endTick).map((note, i) =>
      goal.leads && i === slots.length - 1 ? { ...note, ticks: itemAt(slots, i).ticks } : note,
    ),
    strings: [],
    throughGuard: true,
    leads: goal.leads,
    slurs: step <= 480 && scene.setup.instrument === 'guitar' ? 'left hand' : 'none',
  };
}

/**
 * How a low line goes, by its own notes, as its name says it: one way, or with one turn; null where it wanders, which no walk does.
 */
function wayOf(pitches: readonly number[]): string | null {
  const ways = pitches.slice(1).map((pitch, i) => Math.sign(pitch - itemAt(pitches, i)));
  const moves = ways.filter((way, i) => way !== 0 && way !== ways.slice(0, i).findLast((each) => each !== 0));
  const [first, second] = moves;
  if (first === undefined || moves.length > 2) return null;
  // There and back in three notes is no run.
  if (second !== undefined && pitches.length <= FEWEST_NOTES) return null;
  if (second === undefined) return first > 0 ? ' up' : ' down';
  return first > 0 ? ' up and down' : ' down and up';
}

/** The place where a line rests: on the chord's downbeat (its first place on a beat), if there is time for a run before it, else on its last beat. */
function restingPlace(slots: readonly Slot[], goal: Goal): number {
  const first = slots.findIndex((slot) => slot.tick >= goal.harmony.startTick && slot.strength >= 2);
  if (first >= FEWEST_NOTES) return first;
  return slots.findLastIndex((slot) => slot.strength >= 2);
}

/** Whether a line ends where it is to go: on the root, or a step from the next one. */
function arrives(line: Line, goal: Goal): boolean {
  const above = pitchClassOf(lastOf(line.pitches) - goal.harmony.chord.bass);
  return goal.leads ? above !== 0 && Math.min(above, 12 - above) <= 2 : above === 0;
}
