import { itemAt, lastOf } from '../base';
import type { OpenString } from '../instruments';
import { type Chord, pitchClassOf } from '../theory';
import { beatTicks, isCompound, type Ticks } from '../time';
import type { Draft } from './candidate';
import { FEWEST_NOTES } from './costs';
import { runNotes } from './line-notes';
import { type Scene, type Slot, slotsOf } from './scene';
import type { Sounded } from './titles';
import { chordNameOf, listed } from './words';

/** Semitones from the lowest string to the top of first position. */
const FIRST_POSITION = 19;

/**
 * Root and fifth by turns on the beats, from the root of each new chord, the octave between them on every second turn; and the same with
 * the fifth below. Goes on under the guard: it is backup that speaks up.
 */
export function rootAndFifth(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const { meter } = scene.timeline.barAt(scene.startTick).bar;
  const inBeats = (ticks: Ticks) => slotsOf(scene, ticks, scene.startTick, scene.endTick).slice(-8);
  const quarters = inBeats(isCompound(meter) ? beatTicks(meter) : 960);
  // In bars of five or seven eighths quarters may be too few.
  const slots = quarters.length < FEWEST_NOTES && !isCompound(meter) ? inBeats(beatTicks(meter)) : quarters;
  if (slots.length < FEWEST_NOTES) return [];
  const lowest = Math.min(...strings.map((each) => each.midi));
  return FIGURES.map((figure) => {
    let since = 0;
    const outOfReach = (root: number) => root + 12 > lowest + FIRST_POSITION;
    const pitches = slots.map((slot, i) => {
      const { chord } = slot.harmony;
      since = i === 0 || slot.harmony === itemAt(slots, i - 1).harmony ? since : 0;
      const root = lowest + pitchClassOf(chord.root - lowest);
      const steps = outOfReach(root) ? figure.low : figure.steps;
      const step = itemAt(steps, since % steps.length);
      since += 1;
      if (scene.final && i === slots.length - 1)
        return raised(root + 12 * Math.sign(scene.wish.lift), lowest);
      const pitch = root + (step === 7 ? fifthOf(chord) : step === -5 ? fifthOf(chord) - 12 : step);
      return raised(pitch + 12 * Math.sign(scene.wish.lift), lowest);
    });
    const chords = slots.map((slot) => chordNameOf(slot.harmony.chord));
    const over = listed(chords.filter((chord, i) => chord !== chords[i - 1]));
    return {
      family: 'root and fifth',
      title: (sounded) => `${figureName(slots, sounded)} over ${over}`,
      notes: runNotes(scene, slots, pitches, scene.endTick).map((note, i) =>
        i === slots.length - 1 ? { ...note, ticks: lastOf(slots).ticks } : note,
      ),
      strings: [],
      throughGuard: true,
      leads: false,
      slurs: 'none' as const,
    };
  });
}

/**
 * A turnaround: from the root down by the sixth and the fifth (over a minor chord the flat seventh and the fifth), beat by beat, where one chord
 * holds to the space's end. Goes on under the guard.
 */
export function turnarounds(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const { meter } = scene.timeline.barAt(scene.startTick).bar;
  const beat = isCompound(meter) ? beatTicks(meter) : 960;
  const all = slotsOf(scene, beat, scene.startTick, scene.endTick);
  const lowest = Math.min(...strings.map((each) => each.midi));
  return [4, 3].flatMap((count) => {
    const slots = all.slice(-count);
    const last = slots[count - 1];
    if (!last || slots.some((slot) => slot.harmony.chord.root !== last.harmony.chord.root)) return [];
    // The second note is none of the chord's.
    if (itemAt(slots, 1).strength >= 3) return [];
    const { chord } = last.harmony;
    const steps = (chord.third === 'minor' ? TURN_STEPS.minor : TURN_STEPS.major)
      .slice(0, count)
      .map((step) => (step === -5 ? fifthOf(chord) - 12 : step));
    const root =
      raised(lowest + pitchClassOf(chord.root - lowest) + Math.min(...steps), lowest) - Math.min(...steps);
    const notes = runNotes(
      scene,
      slots,
      steps.map((step) => root + step + 12 * Math.max(0, Math.sign(scene.wish.lift))),
      scene.endTick,
    );
    return [
      {
        family: 'turnaround',
        title: `a turnaround of ${count === 4 ? 'four' : 'three'} notes over ${chordNameOf(chord)}`,
        notes: notes.map((note, i) => (i === count - 1 ? { ...note, ticks: last.ticks } : note)),
        strings: [],
        throughGuard: true,
        leads: false,
        slurs: 'none' as const,
      },
    ];
  });
}

/** In semitones from the root; -5 is the chord's own fifth. Common practice, no source. */
const TURN_STEPS = { major: [0, -3, -5, -8], minor: [0, -2, -5, -9] } as const;

const raised = (pitch: number, lowest: number): number =>
  pitch < lowest ? raised(pitch + 12, lowest) : pitch;

/** In semitones above the root; `low` where the octave is out of first position. Common practice, no source. */
const FIGURES = [
  { steps: [0, 7, 12, 7], low: [0, 7, 0, 7] },
  { steps: [12, 7, 12, 7], low: [0, -5, 0, -5] },
] as const;

/** What a figure is called, by what sounds over each of its chords: a chord of one beat has its root alone. */
function figureName(slots: readonly Slot[], sounded: readonly Sounded[]): string {
  let octave = false;
  const sides = new Set<number>();
  for (const harmony of new Set(slots.map((slot) => slot.harmony))) {
    const here = sounded.filter((_, i) => slots[i]?.harmony === harmony).map((note) => note.midi);
    const roots = here.filter((midi) => pitchClassOf(midi) === harmony.chord.root);
    octave ||= roots.some((root) => roots.includes(root + 12));
    for (const midi of here) {
      if (roots.includes(midi)) continue;
      for (const root of roots) sides.add(Math.sign(midi - root));
    }
  }
  if (octave) return 'root, fifth and octave';
  if (sides.size === 0) return 'the roots';
  if (sides.size > 1) return 'root and fifth';
  return sides.has(1) ? 'root and the fifth above' : 'root and the fifth below';
}

/** The chord's fifth, be it diminished or augmented; the perfect one where it has none. */
function fifthOf(chord: Chord): number {
  return chord.tones.find((tone) => tone.above >= 6 && tone.above <= 8)?.above ?? 7;
}
