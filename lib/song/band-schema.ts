import { z } from 'zod';
import { INSTRUMENTS, STROKE_RULES } from '../instruments';
import {
  type Band,
  type BandSettings,
  type Figure,
  NEW_BAND,
  type Player,
  type Remark,
  type SetEntry,
  type SetList,
  type SongEntry,
  type SongPair,
} from './band';
import { pitchRangeSchema } from './decided-schema';
import { extentSchema, fillNotesSchema } from './fill-schema';
import { MOST_STEP_SECONDS } from './microphone';

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
  range: pitchRangeSchema.nullable().default(null),
  ink: z.int().min(0).max(7),
});
export const songEntrySchema: z.ZodType<SongEntry> = z.object({
  id,
  title: z.string().max(200),
  energy: z.int().min(1).max(5).nullable().default(null),
  archived: z.boolean().default(false),
});
export const setEntrySchema: z.ZodType<SetEntry> = z.object({
  id,
  songId: id,
  note: z.string().max(500),
  talkSeconds: z.number().min(0).max(3600).default(0),
  hold: z
    .union([z.enum(['first', 'last', 'before the break']), z.int().min(1).max(400)])
    .nullable()
    .default(null),
  linkBars: z.int().min(0).max(64).nullable().default(null),
  breakAfter: z.boolean().default(false),
});
const pairSchema: z.ZodType<SongPair> = z.object({
  songs: z.tuple([id, id]),
  wanted: z.enum(['near', 'apart']),
});
export const setListSchema: z.ZodType<SetList> = z.object({
  id,
  name: z.string().max(120),
  targetSeconds: z.number().min(0).nullable(),
  entries: z.array(setEntrySchema),
  pairs: z.array(pairSchema).default([]),
});
export const figureSchema: z.ZodType<Figure> = z.object({
  id,
  playerId: id,
  name: z.string().trim().min(1).max(80),
  instrument: z.enum(INSTRUMENTS),
  chord: z.string().max(60),
  notes: fillNotesSchema.min(1),
  extent: extentSchema.refine(({ from, to }) => to > from, 'the figure has no length'),
});
export const remarkSchema: z.ZodType<Remark> = z.object({
  id,
  songId: id,
  text: z.string().max(500),
  solid: z.boolean(),
  by: id.nullable(),
  at: z.number(),
});
const stepSeconds = z.number().min(0).max(MOST_STEP_SECONDS);
export const bandSettingsSchema: z.ZodType<BandSettings> = z.object({
  leaderId: id.nullable().default(NEW_BAND.leaderId),
  oneMicrophone: z.boolean().default(NEW_BAND.oneMicrophone),
  microphoneInSeconds: stepSeconds.default(NEW_BAND.microphoneInSeconds),
  microphoneOutSeconds: stepSeconds.default(NEW_BAND.microphoneOutSeconds),
  microphonePlaces: z
    .array(id)
    .max(60)
    .refine((ids) => new Set(ids).size === ids.length, 'somebody has two places')
    .default([...NEW_BAND.microphonePlaces]),
  votes: z.boolean().default(NEW_BAND.votes),
  openShare: z.number().min(0).max(1).default(NEW_BAND.openShare),
});
export const bandSchema: z.ZodType<Band> = z
  .object({
    id,
    name: z.string().max(120),
    players: z.array(playerSchema).max(60),
    songs: z.array(songEntrySchema),
    sets: z.array(setListSchema),
    figures: z.array(figureSchema).default([]),
    remarks: z.array(remarkSchema).default([]),
  })
  .and(bandSettingsSchema);
