import { sameValue } from '../../lib/base';
import type { Answer } from '../../lib/song';
import type { LineLook, LineProps } from './look';

/**
 * Whether a line would be drawn just as it stands. What the song's other lines show is not asked for: of the answers by space, and of
 * all that is told by space, pass or player, only what this line's own spaces hold is compared. So an edit draws the lines
 * anew that it changes, and no other.
 */
export function drawsSame(before: LineProps, now: LineProps): boolean {
  if (!holdsAll(before, now) || !holdsAll(now, before)) return false;
  if ((before.spaces === null) !== (now.spaces === null)) return false;
  if (TOLD.every((name) => before[name] === now[name])) return true;
  return now.line.segments.every((segment) =>
    segment.spaces.every(({ space }) => tellsSame(before, now, space.id, space.place.passId)),
  );
}

/** Whether all that one look names beside what is told by space says the same in the other. */
function holdsAll(one: LineProps, other: LineProps): boolean {
  for (const name in one) {
    const [here, there]: readonly unknown[] = [Reflect.get(one, name), Reflect.get(other, name)];
    if (here === there || TOLD_BY_SPACE.has(name)) continue;
    if (typeof here === 'function' || !sameValue(here, there)) return false;
  }
  return true;
}

const TOLD = [
  'bySpace',
  'playerOf',
  'instrumentOf',
  'breakOf',
  'troubleOf',
  'spaces',
] as const satisfies readonly (keyof LineLook)[];
const TOLD_BY_SPACE: ReadonlySet<string> = new Set<string>(TOLD);

/** Whether all that a line shows of one space stays. What is a word or a truth is compared first: it costs least. */
function tellsSame(before: LineLook, now: LineLook, id: string, passId: string): boolean {
  const [then, later] = [before.bySpace.get(id), now.bySpace.get(id)];
  const holderId = later ? holderOf(later.answer) : null;
  return (
    before.spaces?.press === now.spaces?.press &&
    (before.spaces?.openId === id) === (now.spaces?.openId === id) &&
    before.spaces?.labelOf(id) === now.spaces?.labelOf(id) &&
    before.spaces?.isPut(id) === now.spaces?.isPut(id) &&
    before.troubleOf(id) === now.troubleOf(id) &&
    sameValue(then, later) &&
    (holderId === null ||
      (sameValue(before.playerOf(holderId), now.playerOf(holderId)) &&
        before.instrumentOf(holderId) === now.instrumentOf(holderId))) &&
    sameValue(before.breakOf(passId), now.breakOf(passId)) &&
    sameValue(before.spaces?.peersAt(id), now.spaces?.peersAt(id))
  );
}

const holderOf = ({ holding }: Answer): string | null =>
  holding.kind === 'left open' ? null : holding.playerId;
