import { lastOf } from '../base';
import type { OpenString } from '../instruments';
import { beatTicks, type Ticks } from '../time';
import type { Draft } from './candidate';
import { FEWEST_NOTES } from './costs';
import { landingChord, runNotes } from './line-notes';
import { tuneOver } from './runs';
import { landingIndex, type Scene, type Slot, slotsOf } from './scene';
import { landingName, lineSeed } from './words';

/**
 * An answer: the rhythm of what was just sung, moved into the space by whole beats and set to a line of its own that begins
 * near the note just sung. None where too little was sung, or nothing of it falls on the grid.
 */
export function answers(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const grid = slotsOf(scene, 480, scene.startTick, scene.guardEnd);
  const usable = grid.slice(0, landingIndex(grid) + 1);
  const first = usable[0];
  if (!first || scene.space.after === null || scene.cut !== null) return [];
  const shift = shiftOf(scene, usable);
  const onsets = new Set(
    (scene.timeline.notes.get(scene.space.after.voiceId) ?? [])
      .filter((note) => note.startTick + shift >= first.tick && note.startTick < scene.startTick)
      .map((note) => note.startTick + shift),
  );
  const last = lastOf(usable);
  const slots: Slot[] = usable.filter((slot) => onsets.has(slot.tick) || slot === last);
  if (slots.length < FEWEST_NOTES + 1) return [];
  const line = tuneOver(scene, strings, slots, {
    contour: 'level',
    notes: 'key',
    seed: lineSeed(scene, 'answer'),
  });
  if (!line) return [];
  const chord = landingChord(lastOf(slots), lastOf(line.pitches));
  return [
    {
      family: 'answer',
      title: `an answer in the rhythm ${scene.leader === 'the singer' ? 'just sung' : 'of the tune'}, into ${landingName(chord, lastOf(line.pitches))}`,
      notes: runNotes(scene, slots, line.pitches, scene.guardEnd),
      strings: [],
      throughGuard: false,
      leads: false,
      slurs: scene.setup.instrument === 'fiddle' ? 'bow' : 'left hand',
    },
  ];
}

/** By how many ticks the rhythm is moved: whole beats, at least as many as the space has to fill. */
function shiftOf(scene: Scene, usable: readonly Slot[]): Ticks {
  const beat = beatTicks(scene.timeline.barAt(scene.startTick).bar.meter);
  const last = lastOf(usable);
  const length = last.tick + last.ticks - scene.startTick;
  return Math.ceil(length / beat) * beat;
}
