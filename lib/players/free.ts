import { itemAt, type Reason } from '../base';
import type { Player } from '../song';
import { type BeatClock, joinStretches, type Space, type Stretch, without } from '../spaces';
import { type Busy, type Readings, readingsOf } from './busy';
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
 * space is no reason: the band may think again.
 */
export function whoIsFree(space: Space, context: FreedomContext): Freedom[] {
  const readings = readingsOf(context);
  return context.players.map((player) => freedomOf(player, space, context, readings));
}

function freedomOf(player: Player, space: Space, context: FreedomContext, readings: Readings): Freedom {
  const { clock } = readings;
  const busy = overlapping(readings.busy.get(player.id) ?? [], space).filter(
    ({ why }) => why.kind !== 'fill' || why.spaceId !== space.id,
  );
  const reasons: Reason[] = busy.map((each) => ({
    rule: each.why.kind,
    weight: -beatsTaken(each, space, clock),
    detail: detailOf(each, space, context, clock),
  }));
  if (!player.instruments.some((instrument) => instrument !== 'voice')) {
    const detail = player.instruments.length === 0 ? 'no instrument is named' : 'plays no instrument';
    return {
      playerId: player.id,
      free: false,
      reasons: [{ rule: 'no instrument', weight: -space.beats, detail }, ...reasons],
      stretch: null,
    };
  }
  const left = without([space], joinStretches(busy));
  const stretch = left.reduce<Stretch | null>(
    (most, each) => (most && ticks(most) >= ticks(each) ? most : each),
    null,
  );
  const beats = stretch ? clock.beatsBetween(stretch.startTick, stretch.endTick) : 0;
  const free = beats >= Math.min(FREEDOM_RULES.fewestBeats, space.beats);
  const own = free ? whyFree(player, space, context, readings, reasons.length > 0) : [];
  return { playerId: player.id, free, reasons: [...own, ...reasons], stretch };
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

function detailOf(busy: Busy, space: Space, context: FreedomContext, clock: BeatClock): string {
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
