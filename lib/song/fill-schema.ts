import { z } from 'zod';
import { ARTICULATIONS, STROKES } from '../instruments';
import type { Answer, Comment, Fill, FillNote, Place } from './fill';

const id = z.string().min(1).max(80);
/** Within a hundred bars of the place, either way. */
const near = z.int().min(-1_000_000).max(1_000_000);

export const placeSchema: z.ZodType<Place> = z.object({
  passId: id,
  noteId: id.nullable(),
  voiceId: id.nullable(),
});
const fillNoteSchema: z.ZodType<FillNote> = z.object({
  tick: near,
  ticks: z.int().min(1).max(1_000_000),
  midi: z.int().min(0).max(127),
  string: z.int().min(0).max(12),
  fret: z.int().min(0).max(36),
  finger: z.int().min(0).max(4),
  articulation: z.enum(ARTICULATIONS),
  stroke: z.enum(STROKES).nullable(),
  strokeRule: z.string().max(60).nullable(),
  exception: z.boolean(),
  word: z.string().min(1).max(60).exactOptional(),
});
/** A break of a hundred bars in eighths, some of them on two strings, is not more. */
export const MOST_FILL_NOTES = 2000;
export const fillNotesSchema = z.array(fillNoteSchema).max(MOST_FILL_NOTES);
export const extentSchema = z.object({ from: near, to: near });
export const fillSchema: z.ZodType<Fill> = z.object({
  family: z.string().max(60),
  notes: fillNotesSchema,
  chords: z.array(z.object({ tick: near, symbol: z.string().max(60) })).max(100),
});
export const answerSchema: z.ZodType<Answer> = z.object({
  id,
  place: placeSchema,
  extent: extentSchema,
  holding: z.discriminatedUnion('kind', [
    z.object({ kind: z.literal('fill'), playerId: id, fill: fillSchema }),
    z.object({ kind: z.literal('ad lib'), playerId: id }),
    z.object({ kind: z.literal('left open') }),
  ]),
  by: id.nullable(),
  at: z.number(),
});
export const commentSchema: z.ZodType<Comment> = z.object({
  id,
  place: placeSchema.nullable(),
  text: z.string().max(2000),
  by: id.nullable(),
  at: z.number(),
});
