import type { Arrangement } from '../../lib/parts';
import type { PlanEntry } from '../../lib/plan';

/**
 * Where an entry of a plan stands in the song as it is now: `undecided` where it says something that the song does not; settled before it was
 * worked out, or since; its space gone, another one or unclaimed again since; or a pass in which nobody sings that has its break as the entry says, or none,
 * by the order of the song.
 */
export type WhereItStands =
  | 'undecided'
  | 'settled before'
  | 'settled now'
  | 'changed'
  | 'has the break'
  | 'no break';

export function whereItStands(
  { space, holder, settled }: Pick<PlanEntry, 'space' | 'holder' | 'settled'>,
  { song, spaces, bySpace }: Pick<Arrangement, 'song' | 'spaces' | 'bySpace'>,
): WhereItStands {
  if (bySpace.has(space.id)) return settled ? 'settled before' : 'settled now';
  if (settled) return 'changed';
  const now = spaces.find(({ id }) => id === space.id);
  if (!now || now.startTick !== space.startTick || now.endTick !== space.endTick) return 'changed';
  if (space.kind !== 'instrumental') return 'undecided';
  if (holder === null) return 'no break';
  // A break that the roadmap gives already needs no other word.
  const pass = song.passes.find(({ id }) => id === space.place.passId);
  return pass?.roles[holder] === 'break' ? 'has the break' : 'undecided';
}

export const isUndecided = (entry: PlanEntry, arrangement: Arrangement): boolean =>
  whereItStands(entry, arrangement) === 'undecided';
