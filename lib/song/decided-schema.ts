import { z } from 'zod';
import {
  ENDING_KINDS,
  type PhraseEnd,
  type PitchRange,
  type Singing,
  type SongEnding,
  type SongStart,
  type TempoRange,
} from './decided';

const id = z.string().min(1).max(80);
const tempo = z.number().min(10).max(600);
const midi = z.int().min(0).max(127);

export const phraseEndSchema: z.ZodType<PhraseEnd> = z.object({
  noteId: id,
  stanza: z.int().min(1).max(60).nullable(),
  ends: z.boolean(),
});
export const pitchRangeSchema: z.ZodType<PitchRange> = z
  .object({ low: midi, high: midi })
  .refine(({ low, high }) => low <= high, 'the lowest note stands above the highest');
export const tempoRangeSchema: z.ZodType<TempoRange> = z
  .object({ low: tempo, high: tempo, at: z.number() })
  .refine(({ low, high }) => low <= high, 'the slowest tempo is faster than the fastest');
export const startSchema: z.ZodType<SongStart> = z.object({
  playerId: id.nullable(),
  with: z.string().max(200),
  counts: id.nullable(),
  tempo: tempo.nullable(),
});
export const endingSchema: z.ZodType<SongEnding> = z.object({
  kind: z.enum(ENDING_KINDS).nullable(),
  signalBy: id.nullable(),
  note: z.string().max(500),
});
export const singingSchema: z.ZodType<Singing> = z.object({
  passId: id,
  voiceId: id,
  noteId: id.nullable(),
  playerId: id.nullable(),
});
