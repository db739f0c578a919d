import { z } from 'zod';
import { INSTRUMENTS, type InstrumentName, STROKE_RULES, type StrokeRule } from '../instruments';

/** A person who plays in the band. */
export interface Player {
  readonly id: string;
  readonly name: string;
  /** Two or three signs of the band's choosing. */
  readonly initials: string;
  /** The main one first. */
  readonly instruments: readonly InstrumentName[];
  readonly sings: 'lead' | 'tenor' | 'baritone' | 'none';
  readonly rule: StrokeRule;
  /** Eighth notes a minute that the player plays with ease; null: not said. */
  readonly comfortEighthsPerMinute: number | null;
  /** From index to little finger, stretched; null: not said. */
  readonly spanMillimetres: number | null;
  /** Which of the player inks, from 0. */
  readonly ink: number;
}

/** A song as the band's list names it; the song itself is a document of its own. */
export interface SongEntry {
  readonly id: string;
  readonly title: string;
}

export interface SetEntry {
  readonly id: string;
  readonly songId: string;
  readonly note: string;
}

export interface SetList {
  readonly id: string;
  readonly name: string;
  /** Time promised, in seconds; null: not said. */
  readonly targetSeconds: number | null;
  readonly entries: readonly SetEntry[];
}

export interface Band {
  readonly id: string;
  readonly name: string;
  readonly players: readonly Player[];
  readonly songs: readonly SongEntry[];
  readonly sets: readonly SetList[];
}

const id = z.string().min(1).max(80);
export const playerSchema: z.ZodType<Player> = z.object({
  id,
  name: z.string().min(1).max(80),
  initials: z.string().min(1).max(4),
  instruments: z.array(z.enum(INSTRUMENTS)).max(7),
  sings: z.enum(['lead', 'tenor', 'baritone', 'none']),
  rule: z.enum(STROKE_RULES),
  comfortEighthsPerMinute: z.number().min(20).max(2000).nullable(),
  spanMillimetres: z.number().min(40).max(300).nullable(),
  ink: z.int().min(0).max(7),
});
export const songEntrySchema: z.ZodType<SongEntry> = z.object({ id, title: z.string().max(200) });
export const setEntrySchema: z.ZodType<SetEntry> = z.object({ id, songId: id, note: z.string().max(500) });
export const bandSchema: z.ZodType<Band> = z.object({
  id,
  name: z.string().max(120),
  players: z.array(playerSchema).max(60),
  songs: z.array(songEntrySchema),
  sets: z.array(
    z.object({
      id,
      name: z.string().max(120),
      targetSeconds: z.number().min(0).nullable(),
      entries: z.array(setEntrySchema),
    }),
  ),
});
