import { itemAt, lastOf } from '../base';
import { type Chord, toneOf } from '../theory';
import type { Ticks } from '../time';
import type { DraftNote } from './candidate';
import type { LineTask } from './line';
import { holding, type Scene, type Slot } from './scene';

/** Lines on the banjo stay low on the neck: the first string up to here, the drone's pitch. */
export const BANJO_ABOVE_OPEN = 5;

/** The chord that a landing belongs to: its own, or the one that begins just after it. */
export function landingChord(slot: Slot, midi: number): Chord {
  if (toneOf(slot.harmony.chord, midi) || !slot.soon) return slot.harmony.chord;
  return slot.soon.chord;
}

/** Where a line may rest as the song ends: in the bass on the root, elsewhere on root or third, where the chord has one. Common practice, no source. */
export function closesOn(scene: Scene): Pick<LineTask, 'closesOn'> {
  if (!scene.final) return {};
  if (scene.setup.instrument === 'bass') return { closesOn: [0] };
  return lastOf(scene.harmonies).chord.third === 'none' ? {} : { closesOn: [0, 3, 4] };
}

/** A line's notes: each lasts until the next, the last one until the limit, two beats at most, and no longer than its chord lets it. */
export function runNotes(
  scene: Scene,
  slots: readonly Slot[],
  pitches: readonly number[],
  limit: Ticks,
): readonly DraftNote[] {
  return slots.map((slot, i) => {
    const after = slots[i + 1];
    const then = holding(scene, Math.min(slot.harmony.endTick, scene.endTick - 1)).chord;
    const rest = toneOf(then, itemAt(pitches, i)) ? limit : Math.min(limit, slot.harmony.endTick);
    const end = after
      ? after.tick
      : Math.min(Math.max(rest, slot.tick + slot.ticks), limit, slot.tick + Math.max(slot.ticks, 1920));
    return {
      tick: slot.tick,
      ticks: Math.max(1, Math.min(end, scene.endTick) - slot.tick),
      midi: itemAt(pitches, i),
      articulation: 'struck',
      string: null,
      run: true,
    };
  });
}
