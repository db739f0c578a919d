import { itemAt } from '../base';
import type { OneMicrophone } from '../song';
import type { Space } from '../spaces';
import type { TempoMap, Ticks } from '../time';
import {
  changeSeconds,
  type Heard,
  isAVoice,
  type Spell,
  spellsIn,
  tickAfter,
  tickBefore,
} from './microphone';
import type { FreedomContext } from './types';

/** From where, as they face the crowd, a player comes to the microphone; who stands right behind it comes straight. */
export type Side = 'left' | 'right' | 'middle';

/** A player's way in to the one microphone, or out from it. */
export interface MicrophoneMove {
  readonly playerId: string;
  readonly way: 'in' | 'out';
  readonly side: Side;
  /** What they come in for, or had come in for: a fill or break, else a voice. */
  readonly how: Heard['how'];
  /** When they set off, and when they are there (or out of the way). */
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  /** Whom they cross: players who go the other way on the same side at the same time. */
  readonly crosses: readonly string[];
  /** The seconds that they are short of; 0: in time. */
  readonly lateSeconds: number;
}

/** Players met on the way in to a fill, or out from it. */
export interface Met {
  readonly way: 'in' | 'out';
  readonly players: readonly string[];
}

const NOBODY: ReadonlySet<string> = new Set();

/** The side on which a player stands; null for who has no place: a voice that no player sings. */
export function sideOf(playerId: string, { places }: OneMicrophone): Side | null {
  const at = places.indexOf(playerId);
  if (at < 0) return null;
  const fromMiddle = at - (places.length - 1) / 2;
  if (fromMiddle === 0) return 'middle';
  return fromMiddle < 0 ? 'left' : 'right';
}

/**
 * All moves to and from the one microphone in a song as its roadmap runs and what is settled stands, in time order; none where the band
 * has more than one. Who plays or sings first stands there before the song begins. Whoever comes in does so as late as is in time, but not
 * before the others are done; who goes out goes as soon as others come in, or else once they are done.
 */
export function microphoneMoves(context: FreedomContext): readonly MicrophoneMove[] {
  const { microphone, timeline } = context;
  if (!microphone) return [];
  const spells = spellsIn(context, microphone);
  return spells
    .flatMap((spell, i) => crossed(movesInto(spell, spells[i - 1] ?? null, microphone, timeline.tempo)))
    .sort((a, b) => a.startTick - b.startTick);
}

function movesInto(
  spell: Spell,
  before: Spell | null,
  microphone: OneMicrophone,
  tempo: TempoMap,
): readonly MicrophoneMove[] {
  const there = before?.there ?? NOBODY;
  const free = before?.endTick ?? 0;
  const moves: MicrophoneMove[] = [];
  const comers = [...spell.who].filter((id) => !there.has(id));
  for (const playerId of comers) {
    const side = sideOf(playerId, microphone);
    if (side === null) continue;
    const first = itemAt(
      spell.heard.filter(({ who }) => who === playerId),
      0,
    );
    moves.push({
      playerId,
      way: 'in',
      side,
      how: first.how,
      startTick: Math.max(free, tickBefore(tempo, first.startTick, microphone.inSeconds)),
      endTick: first.startTick,
      crosses: [],
      lateSeconds: missingSeconds(first, spell, microphone, tempo),
    });
  }
  if (spell.there === there) return moves;
  const from =
    comers.length > 0 ? Math.max(free, tickBefore(tempo, spell.startTick, changeSeconds(microphone))) : free;
  for (const playerId of there) {
    const side = sideOf(playerId, microphone);
    if (side === null || spell.who.has(playerId)) continue;
    const last = before?.heard.findLast(({ who }) => who === playerId);
    moves.push({
      playerId,
      way: 'out',
      side,
      how: last?.how ?? 'sings',
      startTick: from,
      endTick: tickAfter(tempo, from, microphone.outSeconds),
      crosses: [],
      lateSeconds: 0,
    });
  }
  return moves;
}

/** How many seconds somebody is short of who comes in inside a spell and does not join voices there. */
function missingSeconds(
  first: Heard,
  { heard, startTick }: Spell,
  microphone: OneMicrophone,
  tempo: TempoMap,
): number {
  if (first.startTick === startTick && heard[0] === first) return 0;
  const earlier = heard.filter(({ who, startTick: start }) => who !== first.who && start <= first.startTick);
  if (earlier.length === 0 || (first.how === 'sings' && earlier.every((each) => isAVoice(each, heard))))
    return 0;
  const quiet = tempo.between(Math.max(...earlier.map(({ endTick }) => endTick)), first.startTick);
  return Math.max(0, changeSeconds(microphone) - Math.max(0, quiet));
}

/** Moves at once cross where the one on the left ends up on the right: one comes in on the side on which the other goes out. */
function crossed(moves: readonly MicrophoneMove[]): readonly MicrophoneMove[] {
  return moves.map((move) => ({
    ...move,
    crosses: moves
      .filter(
        (other) =>
          other.way !== move.way &&
          other.side === move.side &&
          move.side !== 'middle' &&
          other.startTick < move.endTick &&
          move.startTick < other.endTick,
      )
      .map(({ playerId }) => playerId),
  }));
}

/** Whom a player would meet on their own side, on the way in to a fill in a space and on the way out from it. */
export function metBy(space: Space, playerId: string, context: FreedomContext): readonly Met[] {
  const { microphone } = context;
  const side = microphone && sideOf(playerId, microphone);
  if (!microphone || !side || side === 'middle') return [];
  const spells = spellsIn(context, microphone, space);
  const onSide = (ids: Iterable<string>): readonly string[] =>
    [...ids].filter((id) => id !== playerId && sideOf(id, microphone) === side);
  const at = spells.findLastIndex((spell) => spell.startTick <= space.startTick);
  const there = spells[at]?.there ?? NOBODY;
  if (there.has(playerId)) return [];
  const after = spells[at + 1];
  const goers = onSide(there);
  const comers = after && !after.who.has(playerId) ? onSide(after.who) : [];
  return [
    ...(goers.length > 0 ? [{ way: 'in' as const, players: goers }] : []),
    ...(comers.length > 0 ? [{ way: 'out' as const, players: comers }] : []),
  ];
}
