import { z } from 'zod';
import { INSTRUMENTS, STROKE_RULES } from '../../lib/instruments';

const json = z.boolean().default(false).describe('one JSON object a line instead of text');
const wholeNumber = z
  .string()
  .regex(/^\d{1,3}$/, 'give a whole number')
  .transform(Number);
const rule = z
  .enum(STROKE_RULES)
  .default('toward')
  .describe('how a pick chooses strokes: toward the next string, or alternating');

/** What each verb takes beside its files, as one schema each: the call is read by it and `--help` is made from it. */
export const SPACES_OPTIONS = z.strictObject({
  voice: z
    .string()
    .min(1)
    .optional()
    .describe('one voice alone, by its name or its number (1 is the top one)'),
  minBeats: z
    .string()
    .regex(/^\d{1,3}(\.\d+)?$/, 'give a number of beats')
    .transform(Number)
    .optional()
    .describe('leave out spaces that are shorter; by default 1.5 beats'),
  ignoreWords: z.boolean().default(false).describe('find phrases by the music alone'),
  json,
});

export const FREE_OPTIONS = z.strictObject({
  players: z.string().min(1).describe('the players file (JSON); its shape stands below'),
  json,
});

export const PLAN_OPTIONS = FREE_OPTIONS;

export const OFFERS_OPTIONS = z.strictObject({
  space: z.string().min(1).describe("the id of a space, as 'spaces' gives it, or 'all'"),
  player: z.enum(INSTRUMENTS).describe('the instrument'),
  capo: wholeNumber.optional().describe('the fret of the capo; by default none'),
  tuning: z.string().min(1).optional().describe("by default 'standard'"),
  rule,
  count: wholeNumber.optional().describe('how many offers; by default 5'),
  json,
});

export const BREAK_OPTIONS = z.strictObject({
  ...OFFERS_OPTIONS.pick({ player: true, capo: true, tuning: true }).shape,
  rule,
  voice: z
    .string()
    .min(1)
    .optional()
    .describe('whose tune, by name or number (1 is the top one); by default the leading voice'),
  section: z
    .string()
    .min(1)
    .optional()
    .describe('one section alone, by its name or its number; by default the whole song as written'),
  plain: z.boolean().default(false).describe('the tune alone, without roll or ornaments'),
  json,
});

/** `rule` is taken as in the other verbs; backup is struck down on its beats either way. */
export const BACKUP_OPTIONS = OFFERS_OPTIONS.pick({
  player: true,
  capo: true,
  tuning: true,
  rule: true,
  json: true,
});

export const PARTS_OPTIONS = z.strictObject({
  players: z.string().min(1).describe('the players file (JSON); its shape stands below'),
  out: z.string().min(1).describe('the folder for the PDFs; it is made where it is not there'),
  paper: z.enum(['a4', 'letter']).default('a4').describe('the size of the paper'),
  json,
});

export const CONVERT_OPTIONS = z.strictObject({});

export const STROKES_OPTIONS = z.strictObject({ rule, json });

export const ORDER_OPTIONS = z.strictObject({ json });
