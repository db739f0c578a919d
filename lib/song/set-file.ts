import { z } from 'zod';
import { INSTRUMENTS } from '../instruments';
import { parseKey } from '../theory';
import { parseMeter } from '../time';

const id = z.string().min(1).max(80);

const needSchema = z.object({
  player: id.describe('who plays; a name or an id'),
  instrument: z.enum(INSTRUMENTS).describe('what they play in this song'),
  capo: z.int().min(0).max(11).default(0).describe('the fret of the capo'),
  fifthCapo: z
    .int()
    .min(0)
    .max(11)
    .nullable()
    .default(null)
    .describe('banjo: frets by which the fifth string is raised; null: as many as the capo'),
  tuning: z.string().min(1).max(40).default('standard').describe("by default 'standard'"),
});

const placeSchema = z.union([
  z.enum(['first', 'last', 'none']),
  z.int().min(1),
  z
    .string()
    .regex(/^[1-9]\d{0,3}$/, 'give first, last, none or a place from 1')
    .transform(Number),
]);

const songSchema = z.object({
  id: id.describe('unique; how answers name the song'),
  title: z.string().max(200).optional().describe('by default the id'),
  key: z
    .string()
    .refine((text) => parseKey(text) !== null, 'this is no key: write G, Em, D mixolydian')
    .nullable()
    .default(null)
    .describe('as sounded'),
  tempo: z.number().min(10).max(600).nullable().default(null).describe('quarter notes a minute'),
  meter: z
    .string()
    .refine((text) => parseMeter(text) !== null, 'this is no meter: write 4/4, 3/4, 6/8')
    .default('4/4')
    .describe("by default '4/4'"),
  seconds: z.number().min(0).max(86_400).nullable().default(null).describe('how long the song is'),
  leadSinger: z.string().max(80).nullable().default(null).describe('null: nobody sings'),
  needs: z.array(needSchema).max(60).default([]).describe('who plays what, and how it is set up'),
  fixed: placeSchema.default('none').describe('held in place: a place in the evening, from 1'),
  energy: z.number().min(1).max(5).nullable().default(null).describe('1 quiet to 5 strong; null: not said'),
  shaky: z.boolean().default(false).describe('not yet safe: not to open with'),
  talkSeconds: z.number().min(0).max(3600).default(0).describe('what is said before it'),
});

const weight = z.number().min(0).max(100_000).optional();
const pairSchema = z.array(id).length(2);

/** What an order's cost is made of; a weight left out is the usual one. Costs count in seconds' worth. */
const weightsSchema = z.looseObject({
  waiting: weight.describe('a second in which the crowd waits'),
  effort: weight.describe("a second of a player's hands being busy between songs"),
  sameKey: weight.describe('two neighbours in one key'),
  sameTempo: weight.describe(
    'two neighbours at one tempo; less the further apart, none from a quarter faster',
  ),
  sameSinger: weight.describe('two neighbours with one lead singer'),
  voiceRest: weight.describe('one singer leads two strong songs running (energy 4 or 5)'),
  energy: weight.describe("a step of energy away from the evening's rise and fall"),
  shakyFirst: weight.describe('a shaky song opens a set'),
  near: weight.describe('two songs wanted near that are no neighbours'),
  apart: weight.describe('two songs wanted apart that are neighbours'),
});

/** SET.json: the songs of an evening, and what its order is to be judged by. All but the songs' ids may be left out. */
export const setFileSchema = z
  .object({
    targetSeconds: z.number().min(0).nullable().default(null).describe('the time promised'),
    songs: z.array(songSchema),
    sets: z
      .array(z.int().min(1))
      .max(20)
      .default([])
      .describe('how many songs each set holds, with a break between sets; left out: one set of all'),
    near: z.array(pairSchema).max(200).default([]).describe('pairs of ids wanted next to each other'),
    apart: z.array(pairSchema).max(400).default([]).describe('pairs of ids not wanted next to each other'),
    joined: z
      .array(z.array(id).min(2).max(20))
      .max(100)
      .default([])
      .describe('medleys: ids of songs played in this order without a stop'),
    weights: weightsSchema.default({}).describe("what counts how much, in seconds' worth"),
  })
  .refine(({ songs }) => new Set(songs.map((song) => song.id)).size === songs.length, {
    path: ['songs'],
    message: 'each song needs an id of its own',
  });

export type SetFile = z.infer<typeof setFileSchema>;

/** The names of the weights that an order knows. */
export const SET_WEIGHTS = Object.keys(weightsSchema.shape) as readonly (keyof typeof weightsSchema.shape)[];
export type SetWeight = keyof typeof weightsSchema.shape;
