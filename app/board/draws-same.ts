import type { Answer } from '../../lib/song';
import type { LineLook, LineProps } from './look';
import { sameValue } from './same';

/**
 * Whether a line would be drawn just as it stands. What the song's other lines show is not asked for: of the answers by space, and of
 * all that is told by space, pass or player, only what this line's own spaces hold is compared. So an edit draws the lines
 * anew that it changes, and no other.
 */
export function drawsSame(before: LineProps, now: LineProps): boolean {
  const names = new Set([...Object.keys(before), ...Object.keys(now)]);
  for (const name of names) {
    if (TOLD_BY_SPACE.has(name)) continue;
    const [one, other] = [Reflect.get(before, name), Reflect.get(now, name)];
    if (typeof one === 'function' ? one !== other : !sameValue(one, other)) return false;
  }
  if ((before.spaces === null) !== (now.spaces === null)) return false;
  return now.line.segments.every((segment) =>
    segment.spaces.every(({ space }) =>
      sameValue(toldOf(before, space.id, space.place.passId), toldOf(now, space.id, space.place.passId)),
    ),
  );
}

const TOLD_BY_SPACE: ReadonlySet<string> = new Set<keyof LineLook>([
  'bySpace',
  'playerOf',
  'instrumentOf',
  'breakOf',
  'troubleOf',
  'spaces',
]);

/** All that a line shows of one space. */
function toldOf(look: LineLook, id: string, passId: string) {
  const standing = look.bySpace.get(id);
  const holderId = standing ? holderOf(standing.answer) : null;
  return {
    standing,
    holder: holderId === null ? null : look.playerOf(holderId),
    instrument: holderId === null ? null : look.instrumentOf(holderId),
    breaker: look.breakOf(passId),
    trouble: look.troubleOf(id),
    press: look.spaces?.press,
    isOpen: look.spaces?.openId === id,
    peers: look.spaces?.peersAt(id),
    label: look.spaces?.labelOf(id),
    isPut: look.spaces?.isPut(id),
  };
}

const holderOf = ({ holding }: Answer): string | null =>
  holding.kind === 'left open' ? null : holding.playerId;
