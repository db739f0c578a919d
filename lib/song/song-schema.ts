import { z } from 'zod';
import { INSTRUMENTS, STROKE_RULES } from '../instruments';
import { type Key, MODES } from '../theory';
import type { Feel, Meter } from '../time';
import { UNDECIDED } from './decided';
import {
  endingSchema,
  phraseEndSchema,
  pitchRangeSchema,
  singingSchema,
  startSchema,
  tempoRangeSchema,
} from './decided-schema';
import { answerSchema, commentSchema } from './fill-schema';
import {
  type Bar,
  type ChordMark,
  type Pass,
  type PlayerSetting,
  ROLES,
  type Song,
  type SungNote,
  type Syllable,
  VOICE_PARTS,
  type Voice,
} from './song';

const text = (most: number) => z.string().max(most);
const id = z.string().min(1).max(80);
const ticks = z.int().min(0).max(10_000_000);

export const meterSchema: z.ZodType<Meter> = z.object({
  count: z.int().min(1).max(64),
  unit: z.literal([1, 2, 4, 8, 16, 32]),
});
export const keySchema: z.ZodType<Key> = z.object({
  tonic: z.string().regex(/^[A-G](#|b)?$/),
  mode: z.enum(MODES),
});
export const tempoSchema = z.number().min(10).max(600);
export const feelSchema: z.ZodType<Feel> = z.object({ ratio: z.number().min(1).max(4) });

export const barSchema: z.ZodType<Bar> = z.object({
  id,
  meter: meterSchema,
  ticks: ticks.min(1),
  pickup: z.boolean(),
  endings: z.array(z.int().min(1).max(99)).max(20),
  key: keySchema.nullable(),
  tempo: tempoSchema.nullable(),
});
export const syllableSchema: z.ZodType<Syllable> = z.object({
  text: text(200),
  joins: z.boolean(),
  endsLine: z.boolean(),
});
export const sungNoteSchema: z.ZodType<SungNote> = z.object({
  id,
  voiceId: id,
  barId: id,
  offset: ticks,
  ticks: ticks.min(1),
  midi: z.int().min(0).max(127).nullable(),
  syllables: z.array(syllableSchema.nullable()).max(60),
  stanzas: z
    .array(z.int().min(1).max(60))
    .max(60)
    .refine(
      (stanzas) => stanzas.every((stanza, i) => i === 0 || stanza > (stanzas[i - 1] ?? 0)),
      'not rising',
    )
    .default([]),
  breath: z.boolean(),
  fermata: z.boolean(),
});
export const chordMarkSchema: z.ZodType<ChordMark> = z.object({
  id,
  barId: id,
  offset: ticks,
  symbol: text(60),
});
export const roleSchema = z.enum(ROLES);
export const passSchema: z.ZodType<Pass> = z.object({
  id,
  sectionId: id,
  stanza: z.int().min(1).max(60).nullable(),
  ending: z.int().min(1).max(99),
  name: text(80),
  roles: z.record(id, roleSchema),
});
export const voiceSchema: z.ZodType<Voice> = z.object({
  id,
  name: text(80),
  part: z.enum(VOICE_PARTS),
  playerId: id.nullable(),
  range: pitchRangeSchema.nullable().default(null),
});
export const settingSchema: z.ZodType<PlayerSetting> = z.object({
  playerId: id,
  instrument: z.enum(INSTRUMENTS),
  tuning: text(40),
  capo: z.int().min(0).max(11),
  fifthCapo: z.int().min(0).max(11).nullable(),
  rule: z.enum(STROKE_RULES).nullable(),
});
export const songSchema: z.ZodType<Song> = z.object({
  id,
  title: text(200),
  key: keySchema,
  tempo: tempoSchema.nullable(),
  feel: feelSchema,
  sections: z.array(
    z.object({
      id,
      name: text(80),
      bars: z.array(barSchema),
      chordsGuessed: z.literal(true).exactOptional(),
    }),
  ),
  passes: z.array(passSchema),
  voices: z.array(voiceSchema),
  notes: z.array(sungNoteSchema),
  chords: z.array(chordMarkSchema),
  settings: z.array(settingSchema),
  settled: z.array(answerSchema),
  proposals: z.array(answerSchema),
  votes: z.array(z.object({ proposalId: id, playerId: id, yes: z.boolean() })),
  comments: z.array(commentSchema),
  phraseEnds: z.array(phraseEndSchema).default([]),
  tempoRange: tempoRangeSchema.nullable().default(null),
  start: startSchema.default(UNDECIDED.start),
  ending: endingSchema.default(UNDECIDED.ending),
  singing: z.array(singingSchema).default([]),
});
