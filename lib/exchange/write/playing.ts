import type { Setup } from '../../instruments';
import { type Arrangement, arrange, backupInPass, cuesOf } from '../../parts';
import { type FillNote, type Player, type Song, settingOf } from '../../song';
import { TICKS_PER_QUARTER, type Ticks } from '../../time';
import { valuesOf } from './lengths';

/** Notes of a player that begin together; they end where the next ones begin, though strings may ring on. */
export interface Sounded {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  /** The first of it is written first; strings from the lowest pitch up. */
  readonly notes: readonly FillNote[];
  /** Some of it sounds on into what comes next. */
  readonly ringsOn: boolean;
  /** Behind a singer or another player. */
  readonly isBackup: boolean;
}

/** Words over the staff where a player comes in: what is sung before it. */
export interface Cue {
  readonly tick: Ticks;
  readonly text: string;
}

/** What the band settled that one player plays, along the song as it is played out. */
export interface Playing {
  readonly name: string;
  /** Null where nobody says what they play on. */
  readonly setup: Setup | null;
  readonly sounded: readonly Sounded[];
  readonly cues: readonly Cue[];
}

/** A song's roadmap played out, with what its players were given in it. */
export interface PlayedOut {
  readonly arrangement: Arrangement;
  readonly players: readonly Playing[];
  /** What of it cannot stand in any file, in a sentence each. */
  readonly leftOut: readonly string[];
}

/** Whether anything was settled that has notes. */
export const hasFills = (song: Song): boolean => song.settled.some(({ holding }) => holding.kind === 'fill');

/** What is written of players: what was settled for them alone, or what they play behind the others too. */
export type Shown = 'settled' | 'settled and backup';

/**
 * The song played out with all that was settled, by player, in the order in which they come in. Fills hang on passes, so that they have
 * no place in a song that is written once with repeat signs.
 *
 * @param players the band's, for their names and what they play; those that are not named are counted
 */
export function playOut(song: Song, players: readonly Player[], shown: Shown = 'settled'): PlayedOut {
  const arrangement = arrange(song);
  const held = new Map<string, { notes: FillNote[]; cues: Cue[] }>();
  let misfits = 0;
  const standings = [...arrangement.standings].sort((a, b) => a.startTick - b.startTick);
  for (const { answer, space, notes, startTick, misfit } of standings) {
    const { holding } = answer;
    if (holding.kind === 'left open') continue;
    if (misfit !== null) misfits += 1;
    const own = held.get(holding.playerId) ?? { notes: [], cues: [] };
    held.set(holding.playerId, own);
    own.notes.push(...notes);
    const before = space === null ? '' : cuesOf(arrangement, space).before;
    const said = [before === '' ? '' : `after “${before}”`, holding.kind === 'ad lib' ? 'ad lib' : ''];
    const text = said.filter((each) => each !== '').join(': ');
    if (text !== '') own.cues.push({ tick: Math.max(0, notes[0]?.tick ?? startTick), text });
  }
  const backups = new Map<string, readonly FillNote[]>();
  if (shown === 'settled and backup')
    for (const player of players) {
      const notes = backupOf(arrangement, players, player);
      backups.set(player.id, notes);
      if (notes.length > 0 && !held.has(player.id)) held.set(player.id, { notes: [], cues: [] });
    }
  const leftOut: string[] = [];
  if (arrangement.homeless.length > 0)
    leftOut.push(`${arrangement.homeless.length} settled answers whose place is no longer in the song`);
  if (misfits > 0) leftOut.push(`that ${misfits} settled answers no longer fit: they are written as settled`);
  return {
    arrangement,
    players: [...held].map(([id, { notes, cues }], i) => {
      const player = players.find((each) => each.id === id);
      const setting = song.settings.find(({ playerId }) => playerId === id);
      const setup = setting ?? (player ? settingOf(song, player) : null);
      return {
        name: player?.name ?? `Player ${i + 1}`,
        setup,
        sounded: togetherOf(notes, backups.get(id) ?? []),
        cues,
      };
    }),
    leftOut,
  };
}

/** What a player plays behind the others, through all passes; where it cannot be played, nothing. */
function backupOf(arrangement: Arrangement, players: readonly Player[], player: Player): readonly FillNote[] {
  return arrangement.song.passes.flatMap(({ id }) => {
    const backup = backupInPass(arrangement, { players }, player, id);
    return backup?.ok ? backup.value.notes : [];
  });
}

/** Notes as they are struck, in time order: those of one tick together, each until the next at most. */
function togetherOf(notes: readonly FillNote[], backup: readonly FillNote[]): readonly Sounded[] {
  const byTick = new Map<Ticks, FillNote[]>();
  const behind = new Set(backup);
  for (const note of [...notes, ...backup].sort((a, b) => a.tick - b.tick || a.midi - b.midi)) {
    const together = byTick.get(note.tick) ?? [];
    byTick.set(note.tick, together);
    // Of two answers for one moment, a string sounds one note.
    if (!together.some(({ string, midi }) => midi === note.midi || (string > 0 && string === note.string)))
      together.push(note);
  }
  const ticks = [...byTick.keys()];
  return ticks.flatMap((startTick, i) => {
    const together = byTick.get(startTick) ?? [];
    const longest = startTick + Math.max(...together.map(({ ticks: length }) => length));
    const endTick = Math.min(
      startTick + readable(longest - startTick),
      ticks[i + 1] ?? Number.POSITIVE_INFINITY,
    );
    // A pickup before the song's first bar has no bar to stand in.
    if (startTick < 0) return [];
    return [
      {
        startTick,
        endTick,
        notes: together,
        ringsOn: endTick < longest,
        isBackup: together.every((note) => behind.has(note)),
      },
    ];
  });
}

/** Thirty-seconds: a note that the singer's next breath cuts short anywhere is written to the last of them. */
const SHORTEST = TICKS_PER_QUARTER / 8;

/** The longest length up to this one that note values can say; lengths of triplets stay as they are. */
function readable(ticks: Ticks): Ticks {
  const isWritten = [false, true].some((triplet) =>
    valuesOf(ticks, triplet).every(({ unit }) => unit !== null),
  );
  return isWritten ? ticks : Math.max(SHORTEST, Math.floor(ticks / SHORTEST) * SHORTEST);
}
