import { lastOf } from '../base';
import { toneOf } from '../theory';
import type { Draft } from './candidate';
import { FEWEST_NOTES } from './costs';
import { OWN_FIGURE } from './figure';
import { holding, type Scene } from './scene';

/** Whether a draft keeps to its space: a last check, so that no family can break the rule. */
export function fits(scene: Scene, draft: Draft): boolean {
  const limit = draft.throughGuard ? scene.endTick : scene.guardEnd;
  return (
    (!scene.final || draft.family === OWN_FIGURE || closesSong(scene, draft)) &&
    draft.notes.length >= (scene.setup.instrument === 'voice' ? 1 : FEWEST_NOTES) &&
    draft.notes.every(
      (note) =>
        note.tick >= scene.startTick &&
        note.tick < scene.endTick &&
        note.ticks > 0 &&
        note.tick + note.ticks <= limit,
    )
  );
}

/**
 * Whether a draft that lasts into the song's last chord closes it: on the root in the bass, on root or third on top elsewhere. Common practice, no
 * source.
 */
function closesSong(scene: Scene, { notes }: Draft): boolean {
  const last = lastOf(notes);
  const harmony = holding(scene, last.tick);
  if (harmony !== lastOf(scene.harmonies)) return true;
  const together = notes.filter((note) => note.tick === last.tick).map((note) => note.midi);
  const above = toneOf(harmony.chord, Math.max(...together))?.above;
  if (scene.setup.instrument === 'bass') return above === 0;
  return harmony.chord.third === 'none' || above === 0 || above === 3 || above === 4;
}
