import { fail, type Result } from '../../base';
import { type Backup, chopThrough, keepsTheChop, planBackup, type Stretch } from '../../fills';
import { type Band, type Player, settingOf, Timeline } from '../../song';
import type { Ticks } from '../../time';
import type { Arrangement } from '../arrangement';
import { roleIn } from '../company';

/** What a player plays behind the singer in one pass. */
export interface BackupInPass extends Backup, Stretch {
  readonly passId: string;
  /** Where the player has fills, which backup makes way for. */
  readonly away: readonly Stretch[];
  /** Where the player keeps the chop while whoever usually does is away. */
  readonly keepsChop: readonly Stretch[];
  /** Where somebody else keeps it for this player, and who. */
  readonly chopBy: readonly (Stretch & { readonly playerId: string | null })[];
}

/**
 * A player's backup through a pass, worked out from the chords, the player's own fills and who keeps the chop meanwhile. Null where the
 * player has none: a break, laying out, a voice. Those who sing and play do both.
 *
 * Errors: as `planBackup`; a pass that the roadmap has not.
 */
export function backupInPass(
  arrangement: Arrangement,
  band: Pick<Band, 'players'>,
  player: Player,
  passId: string,
): Result<BackupInPass> | null {
  const { song, timeline, standings } = arrangement;
  const placed = timeline.passes.find(({ pass }) => pass?.id === passId);
  if (!placed?.pass) return fail('this pass is not in the song', passId, 'open the song again');
  const { pass, startTick, endTick } = placed;
  const setup = settingOf(song, player);
  const plays = (one: Player) => !['break', 'lay out'].includes(roleIn(arrangement, pass, one));
  if (setup.instrument === 'voice' || !plays(player)) return null;
  const there = band.players
    .filter((one) => one.instruments.length > 0 && plays(one))
    .map((one) => ({ id: one.id, setup: settingOf(song, one) }));
  const fills = standings.flatMap(({ answer, notes, startTick: opens, endTick: to }) => {
    const { holding } = answer;
    // A break's pickup is played in the pass before.
    const from = Math.min(opens, notes[0]?.tick ?? opens);
    if (holding.kind === 'left open' || to <= startTick || from >= endTick) return [];
    return [{ playerId: holding.playerId, startTick: from, endTick: to, notes }];
  });
  const away = fills.filter(({ playerId }) => playerId === player.id);
  const usual = keepsTheChop(there, null);
  const kept = chopThrough(there, fills, startTick, endTick);
  const keepsChop = kept.filter(({ playerId }) => playerId === player.id && usual !== player.id);
  const backup = planBackup({ timeline, startTick, endTick, setup, away, keepsChop });
  if (!backup.ok) return backup;
  return {
    ok: true,
    value: {
      ...backup.value,
      passId,
      startTick,
      endTick,
      away,
      keepsChop,
      chopBy: usual === player.id ? kept.filter(({ playerId }) => playerId !== player.id) : [],
    },
  };
}

/** A bar that shows how a chord is backed up. */
export interface BackupBar extends Stretch {
  readonly symbol: string;
}

/** No more bars than these show how a song is backed up: what comes after is like them. */
const MOST_BARS = 6;

/** The timeline with the chords that a backup goes by: its own, or those worked out for the backup. */
export function timelineOf(
  { timeline }: Pick<Arrangement, 'timeline'>,
  { chordsWorkedOut }: Backup,
): Timeline {
  if (chordsWorkedOut === null) return timeline;
  return new Timeline(timeline.song, { ...timeline, chords: chordsWorkedOut });
}

/**
 * One bar for each chord, as it is first played: what a player needs to have on paper of a backup that goes on alike. Bars in which the
 * chord changes or the player is away show nothing; of many chords, those that hold the longest, in the order in which they come.
 */
export function backupBars(arrangement: Arrangement, backups: readonly BackupInPass[]): readonly BackupBar[] {
  const byChord = new Map<string, { bar: BackupBar; ticks: Ticks }>();
  for (const backup of backups) {
    const { startTick, endTick, away, notes } = backup;
    const timeline = timelineOf(arrangement, backup);
    for (const bar of timeline.bars) {
      if (bar.startTick < startTick || bar.endTick > endTick || bar.bar.pickup) continue;
      const chords = timeline.chordsIn(bar.startTick, bar.endTick);
      const symbol = chords[0]?.symbol;
      const isAlone = chords.length === 1 && (chords[0]?.startTick ?? 0) <= bar.startTick;
      const isFree = !away.some((one) => one.startTick < bar.endTick && one.endTick > bar.startTick);
      const isPlayed = notes.some(({ tick }) => tick >= bar.startTick && tick < bar.endTick);
      if (symbol === undefined || !isAlone || !isFree || !isPlayed) continue;
      const known = byChord.get(symbol);
      if (known) known.ticks += bar.endTick - bar.startTick;
      else
        byChord.set(symbol, {
          bar: { startTick: bar.startTick, endTick: bar.endTick, symbol },
          ticks: bar.endTick - bar.startTick,
        });
    }
  }
  return [...byChord.values()]
    .sort((a, b) => b.ticks - a.ticks)
    .slice(0, MOST_BARS)
    .map(({ bar }) => bar)
    .sort((a, b) => a.startTick - b.startTick);
}
