import { itemAt } from '../base';
import { isStruck, type OpenString, planHand } from '../instruments';
import type { FillNote } from '../song';
import { secondsOf, type Ticks } from '../time';
import { bowSlurs, handSlurs } from './articulate';
import { barLifts, MOST_BAR_LIFTS, nearTheNut } from './bar-places';
import type { Draft, DraftNote } from './candidate';
import { BAR_SPEED, MOST_OF_COMFORT } from './costs';
import { barTravel, inTime, leapsTooFar } from './hand-limits';
import { droneWithoutThumb, offTheDrone, opensOnDrone, strokesFor } from './right-hand';
import type { Scene } from './scene';

/** A draft with both hands planned. */
export interface Played {
  readonly draft: Draft;
  readonly notes: readonly FillNote[];
  /** Its fastest notes against the player's ease: 1 is as fast as is easy. */
  readonly speed: number;
}

/**
 * Plans a draft for both hands; null where no hand can hold it, or where its fastest notes are more than `MOST_OF_COMFORT`
 * times as fast as the player plays with ease.
 */
export function play(scene: Scene, strings: readonly OpenString[], draft: Draft): Played | null {
  const speed = speedOf(scene, draft.notes);
  if (speed > MOST_OF_COMFORT) return null;
  if (scene.setup.instrument === 'voice') return { ...unplanned(scene, draft), speed };
  const options = {
    setup: scene.setup,
    spanMillimetres: scene.spanMillimetres,
    quartersPerMinute: scene.quartersPerMinute,
  };
  let notes = scene.setup.instrument === 'fiddle' ? bowed(draft.notes) : draft.notes;
  let first = planHand(notes, options);
  if (!first.ok && draft.plainly) {
    notes = draft.plainly;
    first = planHand(notes, options);
  }
  if (!first.ok) return null;
  let hand = first.value;
  const written = notes;
  if (scene.setup.instrument === 'resonator guitar') {
    const lifts = barLifts(notes, hand);
    if (lifts > 0) {
      const low = nearTheNut(strings, notes);
      const again = planHand(low, options);
      const eased = again.ok && barLifts(low, again.value) < lifts;
      if (eased) {
        notes = low;
        hand = again.value;
      } else if (lifts > MOST_BAR_LIFTS) return null;
    }
  }
  if (draft.slurs !== 'none') {
    const slurred = draft.slurs === 'bow' ? bowSlurs(scene, notes, hand) : handSlurs(scene, notes, hand);
    const again = slurred ? planHand(slurred, options) : null;
    if (slurred && again?.ok) {
      notes = slurred;
      hand = again.value;
    }
  }
  const rolls = draft.family.endsWith(' roll');
  const slips = () => droneWithoutThumb(scene, notes, hand, rolls) || opensOnDrone(written, hand);
  if (scene.setup.instrument === 'banjo' && slips()) {
    const off = offTheDrone(strings, notes, hand);
    const again = planHand(off, options);
    if (!again.ok || droneWithoutThumb(scene, off, again.value, rolls) || opensOnDrone(written, again.value))
      return null;
    notes = off;
    hand = again.value;
  }
  if (!inTime(scene, strings, notes, hand, scene.spanMillimetres)) return null;
  if (leapsTooFar(scene, notes, hand)) return null;
  if (barTravel(scene, strings, notes, hand) > BAR_SPEED) return null;
  const strokes = strokesFor(scene, notes, hand, false, rolls);
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

/** A draft as far as it can be judged without a plan: no strokes, no fingers. For a voice that is all. */
export function unplanned(scene: Scene, draft: Draft): Played {
  return {
    draft,
    speed: speedOf(scene, draft.notes),
    notes: draft.notes.map((note) => ({
      ...(note.word === undefined ? {} : { word: note.word }),
      tick: note.tick,
      ticks: note.ticks,
      midi: note.midi,
      string: note.string ?? (scene.setup.instrument === 'voice' ? 0 : 1),
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

/** What is struck on another instrument is bowed on the fiddle. */
function bowed(notes: readonly DraftNote[]): readonly DraftNote[] {
  return notes.map((note) => (note.articulation === 'struck' ? { ...note, articulation: 'bowed' } : note));
}
