import { itemAt } from '../base';
import {
  type Articulation,
  DEFAULT_SPAN_MILLIMETRES,
  type HandPlan,
  isStruck,
  type NoteToStrike,
  type OpenString,
  type PlannedStroke,
  placeMillimetres,
  planHand,
  planStrokes,
} from '../instruments';
import type { FillNote } from '../song';
import { secondsOf, type Ticks } from '../time';
import type { Draft, DraftNote } from './candidate';
import { HAND_SPEED, MOST_OF_COMFORT } from './costs';
import { barOrigin, type Scene, strengthAt } from './scene';

/** A draft with both hands planned. */
export interface Played {
  readonly draft: Draft;
  readonly notes: readonly FillNote[];
  /** Its fastest notes against the player's ease: 1 is as fast as is easy. */
  readonly speed: number;
}

/** Slurs take at most this share of a run's notes. */
const MOST_SLURRED = 0.34;
/** Frets that a hammer-on or a pull-off spans. */
const WIDEST_SLUR = 3;

/**
 * Plans a draft for both hands; null where no hand can hold it, or where its fastest notes are more than `MOST_OF_COMFORT`
 * times as fast as the player plays with ease.
 */
export function play(
  scene: Scene,
  strings: readonly OpenString[],
  draft: Draft,
  spanMillimetres: number | null,
): Played | null {
  const speed = speedOf(scene, draft.notes);
  if (speed > MOST_OF_COMFORT) return null;
  const options = {
    setup: scene.setup,
    spanMillimetres: spanMillimetres ?? DEFAULT_SPAN_MILLIMETRES[scene.setup.instrument],
    quartersPerMinute: scene.quartersPerMinute,
  };
  let notes = scene.setup.instrument === 'fiddle' ? bowed(draft.notes) : draft.notes;
  const first = planHand(notes, options);
  if (!first.ok) return null;
  let hand = first.value;
  if (draft.slurs !== 'none') {
    const slurred = draft.slurs === 'bow' ? bowSlurs(scene, notes, hand) : handSlurs(scene, notes, hand);
    const again = slurred ? planHand(slurred, options) : null;
    if (slurred && again?.ok) {
      notes = slurred;
      hand = again.value;
    }
  }
  if (scene.setup.instrument === 'banjo' && droneWithoutThumb(scene, notes, hand)) {
    const off = offTheDrone(strings, notes, hand);
    const again = planHand(off, options);
    if (!again.ok || droneWithoutThumb(scene, off, again.value)) return null;
    notes = off;
    hand = again.value;
  }
  if (!inTime(scene, strings, notes, hand, options.spanMillimetres)) return null;
  if (leapsTooFar(scene, notes, hand)) return null;
  const strokes = strokesFor(scene, notes, hand);
  return {
    draft,
    speed,
    notes: notes.map((note, i) => {
      const fingering = itemAt(hand.fingerings, i);
      const stroke = itemAt(strokes, i);
      return {
        tick: note.tick,
        ticks: note.ticks,
        midi: note.midi,
        string: fingering.string,
        fret: fingering.fret,
        finger: fingering.finger,
        articulation: note.articulation,
        stroke: stroke.stroke,
        strokeRule: stroke.rule,
        exception: stroke.exception,
      };
    }),
  };
}

/** A draft as far as it can be judged without a plan: no strokes, no fingers. */
export function unplanned(scene: Scene, draft: Draft): Played {
  return {
    draft,
    speed: speedOf(scene, draft.notes),
    notes: draft.notes.map((note) => ({
      tick: note.tick,
      ticks: note.ticks,
      midi: note.midi,
      string: note.string ?? 1,
      fret: 0,
      finger: 0,
      articulation: note.articulation,
      stroke: null,
      strokeRule: null,
      exception: false,
    })),
  };
}

/** The shortest time between two struck onsets, as eighths a minute, over the player's ease. */
function speedOf(scene: Scene, notes: readonly DraftNote[]): number {
  let shortest = Number.POSITIVE_INFINITY;
  let before: Ticks | null = null;
  for (const note of notes) {
    if (!isStruck(note.articulation)) continue;
    if (before !== null && note.tick > before) shortest = Math.min(shortest, note.tick - before);
    before = note.tick;
  }
  if (!Number.isFinite(shortest)) return 0;
  return 60 / secondsOf(shortest, scene.quartersPerMinute) / scene.comfortEighthsPerMinute;
}

/** A banjo's short string belongs to the thumb: whether another finger strikes it. */
function droneWithoutThumb(scene: Scene, notes: readonly DraftNote[], hand: HandPlan): boolean {
  return strokesFor(scene, notes, hand).some(
    ({ stroke }, i) =>
      stroke !== null && stroke !== 'thumb' && itemAt(hand.fingerings, i).string === SHORT_STRING,
  );
}

const SHORT_STRING = 5;

/** A run's notes off the short string, onto the first. */
function offTheDrone(
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
  hand: HandPlan,
): readonly DraftNote[] {
  const first = itemAt(strings, 0).midi;
  return notes.map((note, i) => {
    if (!note.run) return note;
    if (itemAt(hand.fingerings, i).string === SHORT_STRING && note.midi >= first)
      return { ...note, string: 1, articulation: 'struck' as const };
    return note.articulation === 'struck' ? { ...note, string: null } : note;
  });
}

/** Whether the hand gets from each stopped note to the next in time, its span and `HAND_SPEED` taken together. */
function inTime(
  scene: Scene,
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
  hand: HandPlan,
  spanMillimetres: number,
): boolean {
  const { instrument } = scene.setup;
  const reach = instrument === 'resonator guitar' ? 0 : spanMillimetres;
  let before: { readonly tick: Ticks; readonly at: number } | null = null;
  for (let i = 0; i < notes.length; i++) {
    const place = itemAt(hand.fingerings, i);
    if (place.fret === 0) continue;
    const { tick } = itemAt(notes, i);
    const at = placeMillimetres(instrument, strings, place);
    if (before !== null && tick > before.tick) {
      const seconds = secondsOf(tick - before.tick, scene.quartersPerMinute);
      if (Math.abs(at - before.at) > reach + HAND_SPEED * seconds) return false;
    }
    before = { tick, at };
  }
  return true;
}

/** Frets that the hand's place moves at most from one note to the next, where there is no open string between and less than a beat's time. */
const FURTHEST_LEAP = 4;

/** Whether the hand leaps along the neck with nothing to cover it. A bar, and a bass, go as they are. */
function leapsTooFar(scene: Scene, notes: readonly DraftNote[], hand: HandPlan): boolean {
  if (!['guitar', 'banjo', 'mandolin'].includes(scene.setup.instrument)) return false;
  let before: { readonly index: number; readonly place: number } | null = null;
  for (let i = 0; i < notes.length; i++) {
    const { fret, finger } = itemAt(hand.fingerings, i);
    if (fret === 0) continue;
    const place = fret - finger + 1;
    if (before !== null && Math.abs(place - before.place) > FURTHEST_LEAP) {
      const time = itemAt(notes, i).tick - itemAt(notes, before.index).tick;
      if (time < 960 || i === before.index + 1) return true;
    }
    before = { index: i, place };
  }
  return false;
}

/** What is struck on another instrument is bowed on the fiddle. */
function bowed(notes: readonly DraftNote[]): readonly DraftNote[] {
  return notes.map((note) => (note.articulation === 'struck' ? { ...note, articulation: 'bowed' } : note));
}

/**
 * Bow slurs: two notes to a bow where the second is off the beat, then two bows of their own. They begin at the first, second or third
 * such place, or at none: whichever leaves the fewest downbeats on an up-bow. Null where none is best.
 */
function bowSlurs(scene: Scene, notes: readonly DraftNote[], hand: HandPlan): readonly DraftNote[] | null {
  let best: readonly DraftNote[] | null = null;
  let fewest = Number.POSITIVE_INFINITY;
  for (const skip of [0, 1, 2]) {
    const slurred = slurredFrom(scene, notes, skip);
    if (!slurred) continue;
    const against = strokesFor(scene, slurred, hand).filter((stroke) => stroke.exception).length;
    if (against < fewest) {
      fewest = against;
      best = slurred;
    }
  }
  const plain = strokesFor(scene, notes, hand).filter((stroke) => stroke.exception).length;
  return plain < fewest ? null : best;
}

function slurredFrom(scene: Scene, notes: readonly DraftNote[], skip: number): readonly DraftNote[] | null {
  let found = 0;
  let since = 2;
  const slurred = notes.map((note, i) => {
    const before = notes[i - 1];
    since += 1;
    if (!before || i === notes.length - 1 || since < 3 || before.tick === note.tick) return note;
    if (before.tick + before.ticks < note.tick) return note;
    if (strengthAt(scene.timeline, note.tick) >= strengthAt(scene.timeline, before.tick)) return note;
    found += 1;
    if (found <= skip) return note;
    since = 0;
    return { ...note, articulation: 'slurred' as const };
  });
  return found > skip ? slurred : null;
}

/**
 * Hammer-ons and pull-offs for a run: where two notes follow each other on one string, a few frets apart, the second off the
 * beat (or a flat third going into the third). Strings are kept as they were planned. Null where there is no such place.
 */
function handSlurs(scene: Scene, notes: readonly DraftNote[], hand: HandPlan): readonly DraftNote[] | null {
  const kept = notes.map((note, i) => ({ ...note, string: itemAt(hand.fingerings, i).string }));
  const places: { index: number; worth: number; articulation: Articulation }[] = [];
  for (let i = 1; i < kept.length; i++) {
    const before = itemAt(kept, i - 1);
    const note = itemAt(kept, i);
    const from = itemAt(hand.fingerings, i - 1).fret;
    const to = itemAt(hand.fingerings, i).fret;
    const apart = Math.abs(to - from);
    if (!note.run || note.articulation !== 'struck' || before.string !== note.string) continue;
    if (apart === 0 || apart > WIDEST_SLUR || before.tick + before.ticks < note.tick) continue;
    const weaker = strengthAt(scene.timeline, note.tick) < strengthAt(scene.timeline, before.tick);
    const worth = (apart === 1 && to > from ? 1 : 0) + (weaker ? 2 : 0) - (i === kept.length - 1 ? 1.5 : 0);
    places.push({ index: i, worth, articulation: slurFor(scene, from, to) });
  }
  places.sort((a, b) => b.worth - a.worth || a.index - b.index);
  const most = Math.max(1, Math.floor(kept.filter((note) => note.run).length * MOST_SLURRED));
  const chosen = new Map<number, Articulation>();
  for (const { index, worth, articulation } of places) {
    if (chosen.size >= most || (worth < 1 && chosen.size > 0)) break;
    if (chosen.has(index - 1) || chosen.has(index + 1)) continue;
    chosen.set(index, articulation);
  }
  if (chosen.size === 0) return null;
  return kept.map((note, i) => ({ ...note, articulation: chosen.get(i) ?? note.articulation }));
}

/** A bar slides; fingers hammer up and pull down. */
function slurFor(scene: Scene, from: number, to: number): Articulation {
  if (scene.setup.instrument === 'resonator guitar' && from > 0 && to > 0) return 'slide';
  return to > from ? 'hammer' : 'pull';
}

/** The right hand's strokes; where bars of odd length shift the beat, each bar's notes are read from its own barline. */
function strokesFor(scene: Scene, notes: readonly DraftNote[], hand: HandPlan): readonly PlannedStroke[] {
  const { instrument } = scene.setup;
  const toStrike: NoteToStrike[] = notes.map((note, i) => ({
    tick: note.tick,
    ticks: note.ticks,
    string: itemAt(hand.fingerings, i).string,
    articulation: note.articulation,
    // Three fingers take a run as they take a roll, so that each string has its finger.
    run: note.run && instrument !== 'banjo' && instrument !== 'resonator guitar',
  }));
  const planFrom = (tick: Ticks) => {
    const placed = scene.timeline.barAt(tick);
    return planStrokes(toStrike, {
      instrument,
      rule: scene.rule,
      meter: placed.bar.meter,
      barTick: barOrigin(placed),
      closes: false,
    });
  };
  const planned = planFrom(itemAt(notes, 0).tick);
  if (instrument === 'fiddle')
    return planned.map((bow, i) => ({
      ...bow,
      exception: bow.stroke === 'up' && strengthAt(scene.timeline, itemAt(notes, i).tick) === 4,
    }));
  if (instrument !== 'guitar' && instrument !== 'mandolin') return planned;

  const bars = new Set(notes.map((note) => scene.timeline.barAt(note.tick)));
  if (bars.size === 1) return planned;
  const byBar = new Map([...bars].map((placed) => [placed, planFrom(placed.startTick)]));
  return notes.map((note, i) => itemAt(byBar.get(scene.timeline.barAt(note.tick)) ?? planned, i));
}
