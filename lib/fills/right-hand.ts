import { itemAt } from '../base';
import {
  type HandPlan,
  type NoteToStrike,
  type OpenString,
  type PlannedStroke,
  planStrokes,
} from '../instruments';
import type { Ticks } from '../time';
import type { DraftNote } from './candidate';
import { barOrigin, type Scene } from './scene';

/**
 * The right hand's strokes; where bars of odd length shift the beat, each bar's notes are read from its own barline.
 *
 * @param mixes true where a tune inside a roll may force a stroke against the player's way
 * @param rolls true where what is no run is a roll, in which a banjo's strings have their own fingers
 */
export function strokesFor(
  scene: Scene,
  notes: readonly DraftNote[],
  hand: HandPlan,
  mixes = false,
  rolls = false,
): readonly PlannedStroke[] {
  const { instrument } = scene.setup;
  const toStrike: NoteToStrike[] = notes.map((note, i) => ({
    tick: note.tick,
    ticks: note.ticks,
    string: itemAt(hand.fingerings, i).string,
    articulation: note.articulation,
    // Three fingers take a run as they take a roll, so that each string has its finger.
    rolled: rolls && !note.run && instrument === 'banjo',
    run: note.run && instrument !== 'banjo' && instrument !== 'resonator guitar',
  }));
  const downbeats = scene.timeline.bars.flatMap((placed) => (placed.bar.pickup ? [] : [placed.startTick]));
  const planFrom = (tick: Ticks) => {
    const placed = scene.timeline.barAt(tick);
    return planStrokes(toStrike, {
      instrument,
      rule: scene.rule,
      meter: placed.bar.meter,
      barTick: barOrigin(placed),
      downbeats,
      closes: false,
      mixes,
    });
  };
  const planned = planFrom(itemAt(notes, 0).tick);
  if (instrument !== 'guitar' && instrument !== 'mandolin') return planned;

  const bars = new Set(notes.map((note) => scene.timeline.barAt(note.tick)));
  if (bars.size === 1) return planned;
  const byBar = new Map([...bars].map((placed) => [placed, planFrom(placed.startTick)]));
  return notes.map((note, i) => itemAt(byBar.get(scene.timeline.barAt(note.tick)) ?? planned, i));
}

/** A banjo's short string belongs to the thumb: whether another finger strikes it. */
export function droneWithoutThumb(
  scene: Scene,
  notes: readonly DraftNote[],
  hand: HandPlan,
  rolls: boolean,
): boolean {
  return strokesFor(scene, notes, hand, false, rolls).some(
    ({ stroke }, i) =>
      stroke !== null && stroke !== 'thumb' && itemAt(hand.fingerings, i).string === SHORT_STRING,
  );
}

/** A banjo's drone. */
export const SHORT_STRING = 5;

/**
 * Whether a line begins, or comes to rest, on the short string without being told to: there it sounds like a slip, in a run's middle like a bell.
 *
 * @param written the line as it was written, with the strings it asks for
 */
export function opensOnDrone(written: readonly DraftNote[], hand: HandPlan): boolean {
  return [0, written.length - 1].some((i) => {
    const note = itemAt(written, i);
    return note.run && note.string === null && itemAt(hand.fingerings, i).string === SHORT_STRING;
  });
}

/** A run's notes off the short string, onto the first. */
export function offTheDrone(
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
