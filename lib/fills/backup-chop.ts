import type { InstrumentName, Setup } from '../instruments';
import type { Ticks } from '../time';
import type { Stretch } from './backup-types';

/** Who takes the chop, the first that is there. Common practice, no source. */
const CHOPPERS: readonly InstrumentName[] = ['mandolin', 'banjo', 'guitar', 'fiddle', 'resonator guitar'];

interface BandPlayer {
  readonly id: string;
  readonly setup: Setup;
}

/**
 * Who keeps the chop while a player has a fill: the usual chopper if somebody else has it, else the first of the others in the order
 * mandolin, banjo, guitar, fiddle, resonator guitar; null: nobody is left to. Common practice, no source.
 */
export function keepsTheChop(players: readonly BandPlayer[], holder: string | null): string | null {
  const left = players.filter(({ id, setup }) => id !== holder && CHOPPERS.includes(setup.instrument));
  left.sort((a, b) => CHOPPERS.indexOf(a.setup.instrument) - CHOPPERS.indexOf(b.setup.instrument));
  return left[0]?.id ?? null;
}

/**
 * Who keeps the chop from one tick to another, fill by fill: stretches without a hole between them, in time order. A player with a fill
 * does not; of several at once none does.
 */
export function chopThrough(
  players: readonly BandPlayer[],
  fills: readonly (Stretch & { readonly playerId: string })[],
  startTick: Ticks,
  endTick: Ticks,
): readonly (Stretch & { readonly playerId: string | null })[] {
  const edges = fills.flatMap((fill) => [fill.startTick, fill.endTick]);
  const ticks = [...new Set([startTick, ...edges, endTick])]
    .filter((tick) => tick >= startTick && tick <= endTick)
    .sort((a, b) => a - b);
  const kept: { startTick: Ticks; endTick: Ticks; playerId: string | null }[] = [];
  ticks.slice(0, -1).forEach((from, at) => {
    const to = ticks[at + 1] ?? endTick;
    const busy = fills.filter((fill) => fill.startTick <= from && fill.endTick > from);
    const free = players.filter((player) => !busy.some((fill) => fill.playerId === player.id));
    const playerId = keepsTheChop(free, null);
    const last = kept.at(-1);
    if (last && last.playerId === playerId) last.endTick = to;
    else kept.push({ startTick: from, endTick: to, playerId });
  });
  return kept;
}
