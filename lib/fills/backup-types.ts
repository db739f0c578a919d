import type { Reason } from '../base';
import type { Setup } from '../instruments';
import type { FillNote, PlacedChord, Timeline } from '../song';
import type { Ticks } from '../time';
import type { WayPlayed } from './backup-patterns';

export interface Stretch {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
}

/** A fill that the player has: backup makes way for it. Notes (ticks of the timeline) where they are known, so that the hand's way there and back counts. */
export interface Away extends Stretch {
  readonly notes: readonly FillNote[];
}

/** What a player's backup is worked out from: a stretch of the timeline, when the player is away with a fill, and when they keep the chop. */
export interface BackupRequest extends Stretch {
  readonly timeline: Timeline;
  readonly setup: Setup;
  readonly away: readonly Away[];
  /** Where this player keeps the chop for the one who usually does: a fiddle leaves its long notes for a soft chop. */
  readonly keepsChop: readonly Stretch[];
}

/** How loud, in the marks that scores use: soft under the voice, half loud where nobody sings. */
export type DynamicMark = 'p' | 'mf';

/** A mark that holds until the next one. */
export interface Dynamic {
  readonly tick: Ticks;
  readonly mark: DynamicMark;
}

/** What is played of a way of backup, and which kind of it that came to. */
export interface PlayedBackup {
  readonly notes: readonly FillNote[];
  readonly way: WayPlayed;
  /** How often a bass walks into a chord. */
  readonly walks: number;
}

export interface Backup {
  /** What it is: boom-chuck, chop, vamp, long notes, soft chops, root and fifth; a rest where nothing is played. */
  readonly family: string;
  /** Ticks from the timeline's start, in time order. */
  readonly notes: readonly FillNote[];
  readonly dynamics: readonly Dynamic[];
  /** The chords that it goes by, where none is written and they were taken from what the voices sing; null: as written. */
  readonly chordsWorkedOut: readonly PlacedChord[] | null;
  readonly reasons: readonly Reason[];
}
