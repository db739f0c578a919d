import type { Arrangement } from '../../lib/parts';
import { type FreedomContext, freedomAt } from '../../lib/players';
import type { Song } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import type { Peer } from '../sync';
import type { Inks } from './inks';

/** Why answers can no longer be played as they stand: what they were made for has changed, or their holder is busy. */
export function troublesOf(arrangement: Arrangement, context: FreedomContext): ReadonlyMap<string, string> {
  const troubles = new Map<string, string>();
  for (const { answer, space, misfit } of arrangement.standings) {
    if (!space) continue;
    if (misfit !== null) troubles.set(space.id, misfit);
    else if (answer.holding.kind !== 'left open') {
      const { playerId } = answer.holding;
      const freedom = freedomAt(space, context, playerId);
      const why = freedom?.free === false ? freedom.reasons[0]?.detail : undefined;
      const name = context.players.find((player) => player.id === playerId)?.name;
      if (why !== undefined && name !== undefined) troubles.set(space.id, `${name} ${why}`);
    }
  }
  return troubles;
}

/** The space that hangs on a place of the song; null: none does any more. */
export function idOfPlace(spaces: readonly Space[], place: Space['place']): string | null {
  return (
    spaces.find((space) => space.place.passId === place.passId && space.place.noteId === place.noteId)?.id ??
    null
  );
}

/** Who of the others touches which space, by its id. */
export function peersBySpace(
  spaces: readonly Space[],
  peers: readonly Peer[],
): ReadonlyMap<string, readonly Inks[]> {
  const touched = new Map<string, readonly Inks[]>();
  for (const { place, name, initials, ink } of peers) {
    const id = place && idOfPlace(spaces, place);
    if (id !== null) touched.set(id, [...(touched.get(id) ?? []), { name, initials, ink }]);
  }
  return touched;
}

/** How many stanzas of words a section has. */
export function stanzasOf(song: Song, sectionId: string): number {
  const bars = new Set(song.sections.find((one) => one.id === sectionId)?.bars.map((bar) => bar.id));
  let most = 0;
  for (const note of song.notes) {
    if (bars.has(note.barId)) most = Math.max(most, note.syllables.findLastIndex((one) => one !== null) + 1);
  }
  return most;
}

export function barsOf(arrangement: Arrangement, passId: string | null): number {
  return arrangement.timeline.bars.filter((bar) => bar.passId === passId && !bar.bar.pickup).length;
}

/** The line that has the focus or an open space, else the first whose words are in sight. */
export function lineInSight(root: HTMLElement | null): string {
  const lines = [...(root?.querySelectorAll<HTMLElement>('[data-line]') ?? [])];
  const own =
    document.activeElement?.closest('[data-line]') ??
    root?.querySelector('[data-open="true"]')?.closest('[data-line]');
  const seen = lines.find((line) => line.getBoundingClientRect().top >= 0) ?? lines[0];
  return (own ?? seen)?.getAttribute('data-line') ?? '';
}
