import { itemAt, type Reason } from '../../base';
import { indexReach, isStruck, type OpenString, placeMillimetres, type Setup } from '../../instruments';
import type { FillNote, PlacedBar } from '../../song';
import { secondsOf } from '../../time';
import type { Scene } from '../scene';
import { listed, withArticle } from '../words';
import { DIFFICULTY, DIFFICULTY_WORDS } from './costs';
import type { Frame } from './frame';
import { CHORDS_WORKED_OUT } from './harmony';
import type { Model } from './model';
import type { Way } from './search';
import type { Sung } from './tune';
import type { Break, Difficulty, Pickup, TuneNote, UnusualMoves } from './types';

const reason = (rule: string, weight: number, detail: string): Reason => ({ rule, weight, detail });
/** 'one stroke', '3 strokes'. */
const counted = (count: number, thing: string) => (count === 1 ? `one ${thing}` : `${count} ${thing}s`);
const handMoves = (times: number) => `the hand moves ${times === 1 ? 'once' : `${times} times`}`;

/** Two fingers at once this far apart, in millimetres, are a stretch: four frets of first position on a guitar. */
const STRETCH_MILLIMETRES = 105;

/** Frets that a bar glides without a thought. Common practice, no source. */
const BAR_GLIDES = 5;

/** What is out of the way of a usual player, counted over the notes. */
export function unusualIn(
  setup: Setup,
  strings: readonly OpenString[],
  notes: readonly FillNote[],
): UnusualMoves {
  let shifts = 0;
  let stretches = 0;
  let stringLeaps = 0;
  let place: { readonly from: number; readonly to: number } | null = null;
  const picked = setup.instrument === 'guitar' || setup.instrument === 'mandolin';
  const struck = notes.filter((note) => isStruck(note.articulation));
  struck.forEach((note, i) => {
    const next = struck[i + 1];
    if (!next || next.tick === note.tick || next.tick - note.tick > 480) return;
    if (picked && Math.abs(next.string - note.string) > 2) stringLeaps += 1;
  });
  notes.forEach((note, i) => {
    if (note.fret === 0) return;
    const here = indexReach(setup.instrument, note);
    const slack = setup.instrument === 'resonator guitar' ? BAR_GLIDES : 1;
    if (place === null) place = here;
    else if (here.from > place.to + slack || here.to < place.from - slack) {
      shifts += 1;
      place = here;
    } else {
      const from = Math.max(place.from, here.from);
      const to = Math.min(place.to, here.to);
      place = from <= to ? { from, to } : here;
    }
    for (let k = i + 1; k < notes.length; k++) {
      const other = itemAt(notes, k);
      if (other.tick >= note.tick + note.ticks) break;
      if (other.fret === 0) continue;
      const apart = Math.abs(
        placeMillimetres(setup.instrument, strings, other) -
          placeMillimetres(setup.instrument, strings, note),
      );
      if (apart > STRETCH_MILLIMETRES) stretches += 1;
    }
  });
  return {
    strokes: struck.filter((note) => note.exception).length,
    shifts,
    stretches,
    stringLeaps,
  };
}

/** Where open strings rest the hand. A bar stops all strings alike; fiddle and bass are stopped throughout as a matter of course. */
const STOPS_WITH_FINGERS: ReadonlySet<string> = new Set(['guitar', 'banjo', 'mandolin']);

const stoppedWords = (share: number): string =>
  share > 0.95 ? 'every note stopped, no open strings to rest on' : 'few open strings to rest on';

/** How much of a break is at its fastest: 'all through', 'much of the time', 'in 7 places'. */
function howOften(quick: number, all: number): string {
  const share = quick / Math.max(1, all);
  if (share > 0.6) return 'nearly all through';
  return share > 0.25 ? 'much of the time' : `at its fastest, in ${counted(quick, 'place')}`;
}

/** How hard a break is: a base of 1 and the terms of `DIFFICULTY`, rounded and held to 10. */
export function difficultyOf(
  scene: Scene,
  notes: readonly FillNote[],
  unusual: UnusualMoves,
  inRoll: boolean,
): Difficulty {
  const terms: Reason[] = [];
  const add = (rule: string, weight: number, detail: string) => {
    if (weight >= 0.05) terms.push(reason(rule, Math.round(weight * 10) / 10, detail));
  };
  const onsets = [...new Set(notes.filter((note) => isStruck(note.articulation)).map((note) => note.tick))];
  const gaps = onsets.slice(1).map((tick, i) => tick - itemAt(onsets, i));
  const fastest = gaps.length > 0 ? Math.min(...gaps) : 960;
  const perMinute = 60 / secondsOf(fastest, scene.quartersPerMinute);
  const ratio = perMinute / scene.comfortEighthsPerMinute;
  const quick = gaps.filter((gap) => gap === fastest).length;
  add(
    'speed',
    Math.max(0, ratio - 0.5) * 10 * DIFFICULTY.speedTenth,
    `${Math.round(perMinute / 10) * 10} notes a minute ${howOften(quick, gaps.length)}`,
  );
  const fours = Math.max(1, (scene.endTick - scene.startTick) / (4 * 3840));
  const perFour = (count: number, weight: number) => (count / fours) * weight;
  const { shifts, stretches, stringLeaps, strokes } = unusual;
  add('shifts', perFour(shifts, DIFFICULTY.shiftsInFourBars), handMoves(shifts));
  add(
    'stretches',
    perFour(stretches, DIFFICULTY.stretchesInFourBars),
    stretches === 1 ? 'one wide stretch' : `${stretches} wide stretches`,
  );
  add(
    'string leaps',
    perFour(stringLeaps, DIFFICULTY.leapsInFourBars),
    `${counted(stringLeaps, 'leap')} over strings`,
  );
  add(
    'strokes',
    perFour(strokes, DIFFICULTY.strokesInFourBars),
    `${counted(strokes, 'stroke')} against the usual way`,
  );
  if (inRoll) add('in the roll', DIFFICULTY.inRoll, 'the tune lies inside a roll');
  const struck = notes.filter((note) => isStruck(note.articulation));
  const stopped = struck.filter((note) => note.fret > 0).length / Math.max(1, struck.length);
  if (STOPS_WITH_FINGERS.has(scene.setup.instrument))
    add('few open strings', Math.max(0, stopped - 0.6) * 10 * DIFFICULTY.stoppedTenth, stoppedWords(stopped));
  const highest = Math.max(0, ...notes.map((note) => note.fret));
  add('up the neck', (Math.max(0, highest - 4) / 3) * DIFFICULTY.threeFretsUp, `up to fret ${highest}`);
  const sum = 1 + terms.reduce((total, term) => total + term.weight, 0);
  const number = Math.min(10, Math.max(1, Math.round(sum)));
  const words = DIFFICULTY_WORDS.find(([most]) => number <= most)?.[1] ?? 'very hard';
  return { number, words, terms };
}

/** What a musician would say of a break, as reasons of no weight but the cost's own. */
export function reasonsOf(
  model: Model,
  frame: Frame,
  way: Way,
  tune: readonly TuneNote[],
  unusual: UnusualMoves,
  chordsWorkedOut: boolean,
): readonly Reason[] {
  const reasons: Reason[] = [];
  const early = tune.filter((note) => note.licence === 'early').length;
  const late = tune.filter((note) => note.licence === 'late').length;
  const moved = [
    early > 0 ? `${early} an eighth early` : '',
    late > 0 ? `${late} an eighth late` : '',
  ].filter((each) => each !== '');
  reasons.push(
    reason(
      'keeps the tune',
      0,
      moved.length === 0
        ? `all ${tune.length} notes of the tune, each on its beat`
        : `all ${tune.length} notes of the tune, ${listed(moved)}`,
    ),
  );
  const octaves = new Set(tune.map((note) => note.octaves));
  const way_ = (by: number) => (by < 0 ? 'lower' : 'higher');
  if (octaves.size > 1) reasons.push(reason('octaves', 0, 'some phrases an octave away from the others'));
  else
    for (const by of octaves)
      if (by !== 0)
        reasons.push(
          reason(
            'octaves',
            0,
            `${Math.abs(by) === 1 ? 'an octave' : `${Math.abs(by)} octaves`} ${way_(by)} than it is sung`,
          ),
        );
  if (model.rolls.length > 0) {
    const used = new Map<string, number>();
    for (const { roll } of way.steps) {
      const family = roll === null ? null : itemAt(model.rolls, roll).family;
      if (family) used.set(family, (used.get(family) ?? 0) + 1);
    }
    const families = [...used].sort((a, b) => b[1] - a[1]).map(([family]) => family.replace(/ roll$/, ''));
    if (families.length > 0)
      reasons.push(reason('rolls', 0, `round it ${listed(families.slice(0, 3))} rolls`));
  }
  if (frame.leadIn) reasons.push(reason('pickup', 0, 'a run leads into the first note'));
  if (frame.runs > 0)
    reasons.push(
      reason('runs', 0, frame.runs === 1 ? 'a run between phrases' : `${frame.runs} runs between phrases`),
    );
  reasons.push(
    frame.endingTitle === null
      ? reason('ending', 0, 'closes on a chord')
      : reason('ending', 0, `closes with ${frame.endingTitle}`),
  );
  const { strokes, shifts } = unusual;
  if (strokes > 0)
    reasons.push(reason('unusual strokes', 0, `${counted(strokes, 'stroke')} against the usual way`));
  reasons.push(reason('hand', 0, shifts === 0 ? 'the hand stays where it is' : handMoves(shifts)));
  if (chordsWorkedOut) reasons.push(CHORDS_WORKED_OUT);
  reasons.push(reason('cost', -Math.round(way.cost * 10) / 10, 'points of the break’s own table'));
  return reasons;
}

/** What leads into a break: its own pickup inside the stretch, or what is played in the bar before. */
export function pickupReason(
  bar: PlacedBar,
  tune: readonly Sung[],
  pickup: Pickup | null,
): readonly Reason[] {
  const inside = bar.bar.pickup ? tune.filter((note) => note.tick < bar.endTick).length : 0;
  if (inside > 0) return [reason('pickup', 0, `with its pickup of ${counted(inside, 'note')}`)];
  if (!pickup) return [];
  const notes = counted(pickup.notes.length, 'note');
  const detail =
    pickup.kind === 'of the tune'
      ? `the tune’s own pickup of ${notes} in the bar before`
      : `a lead-in of ${notes} in the bar before, to take or leave`;
  return [reason('pickup', 0, detail)];
}

/** A break as a musician would say it, in one sentence: what it is, how hard, and its reasons. */
export function breakInWords({
  title,
  difficulty,
  reasons,
}: Pick<Break, 'title' | 'difficulty' | 'reasons'>): string {
  const told = reasons.filter(({ rule }) => rule !== 'cost').map(({ detail }) => detail);
  const sentence = `${withArticle(title)}, ${difficulty.words}: ${told.join('; ')}.`;
  return sentence.charAt(0).toUpperCase() + sentence.slice(1);
}
