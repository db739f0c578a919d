import { itemAt, type Reason } from '../base';
import type { Player } from '../song';
import { type BeatClock, joinStretches, type Space, type Stretch, without } from '../spaces';
import { beatsSaid } from '../time';
import { type Busy, type Readings, readingsOf } from './busy';
import { microphoneBusy } from './microphone';
import { type Met, metBy } from './microphone-moves';
import { FREEDOM_RULES } from './rules';
import { endSaid, passSaid, whenSaid } from './say';
import type { Freedom, FreedomContext } from './types';

/**
 * Who could take a space, player by player in the band's order, always with the reasons.
 *
 * Model: from the space is taken what a player has otherwise to do: what they sing, with the time to come back before
 * it; their other fills, with time between; passes in which they lay out; a bar before their own break; passes
 * in which another player has the break. A player with an instrument is free if the longest stretch that is left is long
 * enough for a fill. `FREEDOM_RULES` says how much each is. An answer that already stands on this very
 * space is no reason: the band may think again. Around one microphone (see microphone.ts) the time to come in to it and to make room
 * is taken too.
 */
export function whoIsFree(space: Space, context: FreedomContext): Freedom[] {
  const readings = readingsOf(context);
  return context.players.map((player) => freedomOf(player, space, context, readings));
}

/** Whether one player could take a space, as `whoIsFree`; null: nobody of the band. */
export function freedomAt(space: Space, context: FreedomContext, playerId: string): Freedom | null {
  const player = context.players.find(({ id }) => id === playerId);
  return player ? freedomOf(player, space, context, readingsOf(context)) : null;
}

function freedomOf(player: Player, space: Space, context: FreedomContext, readings: Readings): Freedom {
  const { clock } = readings;
  const other = overlapping(readings.busy.get(player.id) ?? [], space).filter(
    ({ why }) => why.kind !== 'fill' || why.spaceId !== space.id,
  );
  const ways = microphoneBusy(space, player.id, context);
  const reasonOf = (each: Found): Reason => ({
    rule: each.why.kind,
    weight: -beatsTaken(each, space, clock),
    detail: detailOf(each, space, context, clock),
  });
  const otherReasons = other.map(reasonOf);
  const reasons = [...otherReasons, ...ways.map(reasonOf)];
  if (!player.instruments.some((instrument) => instrument !== 'voice')) {
    const detail =
      player.instruments.length === 0 ? 'no instrument is named' : 'sings, and plays no instrument';
    return {
      playerId: player.id,
      free: false,
      reasons: [{ rule: 'no instrument', weight: -space.beats, detail }, ...reasons],
      stretch: null,
    };
  }
  const stretch = mostLeft(space, [...other, ...ways]);
  const isEnough = (most: Stretch | null): boolean =>
    (most ? clock.beatsBetween(most.startTick, most.endTick) : 0) >=
    Math.min(FREEDOM_RULES.fewestBeats, space.beats);
  if (!isEnough(stretch)) {
    const noTime = ways.length > 0 && isEnough(mostLeft(space, other));
    const told = noTime ? [noTimeToMove(space, ways, context, clock), ...otherReasons] : reasons;
    return { playerId: player.id, free: false, reasons: told, stretch };
  }
  const own = whyFree(player, space, context, readings, reasons.length > 0);
  const met = metReasons(metBy(space, player.id, context), context);
  return { playerId: player.id, free: true, reasons: [...own, ...reasons, ...met], stretch };
}

type Found = Omit<Busy, 'reach'>;

/** The longest stretch of a space that nothing takes. */
function mostLeft(space: Space, taken: readonly Stretch[]): Stretch | null {
  return without([space], joinStretches(taken)).reduce<Stretch | null>(
    (most, each) => (most && ticks(most) >= ticks(each) ? most : each),
    null,
  );
}

/** All that the microphone takes of a space, where nothing is left of it for that alone. */
function noTimeToMove(
  space: Space,
  ways: readonly Found[],
  context: FreedomContext,
  clock: BeatClock,
): Reason {
  const { beats } = space;
  const isIn = ways.some(({ why }) => why.kind === 'comes in');
  const what = isIn ? ['come in to the microphone'] : [];
  for (const { why } of ways)
    if (why.kind === 'makes room')
      what.push(`make room${isIn ? '' : ' at the microphone'} for ${roomFor(why, context)}`);
  return {
    rule: 'microphone',
    weight: -joinStretches(ways).reduce((sum, each) => sum + beatsTaken(each, space, clock), 0),
    detail: `has no time in ${beatsSaid(beats)} ${beats < 1 ? 'of a beat' : beats === 1 ? 'beat' : 'beats'} to ${[...new Set(what)].join(' and ')}`,
  };
}

/** Who somebody makes room for, as people say it. */
function roomFor(
  { for: who, sung }: { readonly for: readonly string[]; readonly sung: boolean },
  { players }: FreedomContext,
): string {
  if (sung) return who.length === 1 ? 'the singer' : 'the singers';
  return who.map((id) => players.find((player) => player.id === id)?.name ?? 'the singer').join(' and ');
}

function metReasons(met: readonly Met[], { players: band }: FreedomContext): readonly Reason[] {
  const named = met.map(({ players, way }) => ({
    way,
    names: players.map((id) => band.find((player) => player.id === id)?.name ?? id).join(' and '),
  }));
  const [first, second] = named;
  const isBoth = first !== undefined && first.names === second?.names;
  return (isBoth ? [{ names: first.names, way: 'in and out' }] : named).map(({ names, way }) => ({
    rule: 'crosses',
    weight: 0,
    detail: `crosses ${names} on the way ${way}`,
  }));
}

function ticks({ startTick, endTick }: Stretch): number {
  return endTick - startTick;
}

/** The busy stretches that share time with the space. O(log n) and those found. */
function overlapping(busy: readonly Busy[], { startTick, endTick }: Stretch): Busy[] {
  let low = 0;
  let high = busy.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (itemAt(busy, middle).reach <= startTick) low = middle + 1;
    else high = middle;
  }
  const found: Busy[] = [];
  for (let i = low; i < busy.length; i++) {
    const each = itemAt(busy, i);
    if (each.startTick >= endTick) break;
    if (each.endTick > startTick) found.push(each);
  }
  return found;
}

function beatsTaken(busy: Stretch, space: Space, clock: BeatClock): number {
  return clock.beatsBetween(Math.max(busy.startTick, space.startTick), Math.min(busy.endTick, space.endTick));
}

function detailOf(busy: Found, space: Space, context: FreedomContext, clock: BeatClock): string {
  const { why } = busy;
  switch (why.kind) {
    case 'sings':
      if (why.onset > space.startTick) return `sings ${why.called} again from ${whenSaid(clock, why.onset)}`;
      return `sings ${why.called} to ${endSaid(clock, busy.endTick)}`;
    case 'fill':
      return `has the fill in ${whenSaid(clock, why.onset)}`;
    case 'break ahead':
      return `takes the break in ${whenSaid(clock, why.onset)}`;
    case 'break here':
      return 'takes the break in this pass';
    case 'break of':
      return `${why.holders.join(' and ')} ${why.holders.length === 1 ? 'has' : 'have'} the break`;
    case 'comes in':
      return `needs until ${endSaid(clock, busy.endTick)} to come in to the microphone`;
    case 'makes room':
      return `makes room at the microphone for ${roomFor(why, context)} from ${whenSaid(clock, busy.startTick)}`;
    case 'lays out':
      return `lays out in ${passSaid(context.timeline, why.pass)}`;
  }
}

function whyFree(
  player: Player,
  space: Space,
  { timeline }: FreedomContext,
  { singing, clock }: Readings,
  hasOthers: boolean,
): Reason[] {
  const at = timeline.passes.findIndex((placed) => placed.endTick > space.startTick);
  const placed = timeline.passes[at];
  const sings = singing.get(player.id)?.[at] ?? null;
  const role = placed?.pass?.roles[player.id];
  const say = (rule: string, detail: string): Reason[] => [{ rule, weight: 0, detail }];
  if (role === 'break' && space.kind === 'instrumental') return say('break', 'takes the break here');
  if (space.kind === 'instrumental' && placed?.pass) return say('no holder', 'nobody has the break yet');
  if (hasOthers) return say('time', 'there is time enough for a fill');
  if (sings && !space.before) return say('rests', 'does not sing again');
  if (sings) return say('rests', `does not sing again before ${whenSaid(clock, space.endTick)}`);
  return say('backup', placed?.pass ? 'plays backup here' : 'does not sing here');
}
