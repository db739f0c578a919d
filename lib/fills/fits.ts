import type { Draft } from './candidate';
import { FEWEST_NOTES } from './costs';
import type { Scene } from './scene';

/** Whether a draft keeps to its space: a last check, so that no family can break the rule. */
export function fits(scene: Scene, draft: Draft): boolean {
  const limit = draft.throughGuard ? scene.endTick : scene.guardEnd;
  return (
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
