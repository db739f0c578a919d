import {
  type Arrangement,
  barsInWords,
  beatsInWords,
  chordsInWords,
  cuesOf,
  placeInWords,
  type Standing,
  secondsInWords,
  settingOf,
  shapesKey,
} from '../../lib/parts';
import type { Player } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import { transposeChord } from '../../lib/theory';

/** Chords as the shapes that a player with a capo plays. */
export function shapeNames(arrangement: Arrangement, player: Player): (symbol: string) => string {
  const { capo } = settingOf(arrangement.song, player);
  const key = shapesKey(arrangement.song.key, capo);
  return (symbol) => (capo === 0 ? symbol : transposeChord(symbol, -capo, key));
}

/** Where a space is and how long it lasts. */
export function headline(arrangement: Arrangement, space: Space): string {
  const lastBar = arrangement.timeline.barAt(Math.max(space.startTick, space.endTick - 1)).number;
  const place = placeInWords(space, cuesOf(arrangement, space).before);
  return `${place}: ${barsInWords(space.bar, lastBar)}, ${beatsInWords(space.beats)} ${chordsInWords(
    space.chords.map((chord) => chord.symbol),
  )} (${secondsInWords(space.seconds)})`;
}

/** Who has it. */
export function state(
  standing: Standing | null,
  players: readonly Player[],
  breaker: string | null,
  trouble: string | null,
): string {
  if (!standing) return breaker === null ? 'Nobody has it yet.' : `${breaker} has the break.`;
  const { holding } = standing.answer;
  if (holding.kind === 'left open') return 'The band has left it open.';
  const name = players.find((player) => player.id === holding.playerId)?.name ?? 'somebody who has left';
  if (trouble !== null) {
    return `${name} has it, but it no longer fits: ${trouble}. It is kept as it is, and another can be settled.`;
  }
  if (holding.kind === 'ad lib') return `${name} has it, ad lib.`;
  return `${name} has it: the settled fill stands in the line above.`;
}
