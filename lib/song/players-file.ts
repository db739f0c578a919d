import { z } from 'zod';
import { ARTICULATIONS, INSTRUMENTS, STROKE_RULES, STROKES } from '../instruments';
import { type Band, NEW_BAND, type Player } from './band';
import { MOST_FILL_NOTES } from './fill-schema';
import { MOST_STEP_SECONDS } from './microphone';

const stepSeconds = z.number().min(0).max(MOST_STEP_SECONDS);

/** A fill's note as offers print it: ticks from the start of the first bar as written. */
const settledNoteSchema = z.object({
  tick: z.int().min(0),
  ticks: z.int().min(1),
  midi: z.int().min(0).max(127).optional(),
  string: z.int().min(1).max(12).optional(),
  fret: z.int().min(0).max(36).optional(),
  finger: z.int().min(0).max(4).optional(),
  stroke: z.enum(STROKES).nullable().optional(),
  articulation: z.enum(ARTICULATIONS).optional(),
});

/** PLAYERS.json: who plays, and what is settled already. All but a player's id and instruments may be left out. */
export const playersFileSchema = z
  .object({
    players: z
      .array(
        z.object({
          id: z.string().min(1).max(80).describe('unique; how answers name the player'),
          name: z.string().min(1).max(80).optional().describe('as people call them; by default the id'),
          instruments: z.array(z.enum(INSTRUMENTS)).max(7).describe('the main one first'),
          sings: z.enum(['lead', 'tenor', 'baritone', 'none']).default('none').describe('the part they sing'),
          capo: z.int().min(0).max(11).default(0).describe('the fret of the capo in this song'),
          rule: z.enum(STROKE_RULES).default('alternate').describe('how they choose strokes'),
          comfortEighthsPerMinute: z
            .number()
            .min(20)
            .max(2000)
            .nullable()
            .default(null)
            .describe('eighth notes a minute that they play with ease'),
          spanMillimetres: z
            .number()
            .min(40)
            .max(300)
            .nullable()
            .default(null)
            .describe('from index to little finger, stretched'),
        }),
      )
      .max(60),
    settled: z
      .array(
        z.object({
          space: z.string().min(1).describe('the id of a space'),
          holder: z.string().min(1).nullable().describe('the id of a player; null: left open'),
          notes: z
            .array(settledNoteSchema)
            .max(MOST_FILL_NOTES)
            .optional()
            .describe('the fill; without: ad lib'),
        }),
      )
      .default([]),
    openShare: z.number().min(0).max(1).optional().describe('the share of the spaces to be left open'),
    oneMicrophone: z
      .object({
        inSeconds: stepSeconds.default(NEW_BAND.microphoneInSeconds).describe('from one’s place up to it'),
        outSeconds: stepSeconds
          .default(NEW_BAND.microphoneOutSeconds)
          .describe('from it back, out of the way of who is next'),
        places: z
          .array(z.string().min(1).max(80))
          .max(60)
          .default([])
          .describe('ids of players from left to right, facing the crowd; by default as listed'),
      })
      .nullable()
      .optional()
      .describe('how the band moves around its one microphone; left out: it has more'),
  })
  .refine(({ players }) => new Set(players.map((player) => player.id)).size === players.length, {
    path: ['players'],
    message: 'each player needs an id of their own',
  })
  .refine(
    ({ players, oneMicrophone }) =>
      (oneMicrophone?.places ?? []).every((id) => players.some((player) => player.id === id)),
    { path: ['oneMicrophone', 'places'], message: 'each place is that of one of the players, by their id' },
  );

export type PlayersFile = z.infer<typeof playersFileSchema>;

/** The players of a players file as the band's. */
export function playersOf(file: PlayersFile): readonly Player[] {
  return file.players.map((player, ink) => {
    const name = player.name ?? player.id;
    return {
      id: player.id,
      name,
      initials: name.slice(0, 2),
      instruments: player.instruments,
      sings: player.sings,
      rule: player.rule,
      comfortEighthsPerMinute: player.comfortEighthsPerMinute,
      spanMillimetres: player.spanMillimetres,
      range: null,
      ink: ink % 8,
    };
  });
}

/** What a players file says about one microphone, as the band's settings. */
export function microphoneSettings({
  oneMicrophone,
}: PlayersFile): Pick<
  Band,
  'oneMicrophone' | 'microphoneInSeconds' | 'microphoneOutSeconds' | 'microphonePlaces'
> {
  return {
    oneMicrophone: Boolean(oneMicrophone),
    microphoneInSeconds: oneMicrophone?.inSeconds ?? NEW_BAND.microphoneInSeconds,
    microphoneOutSeconds: oneMicrophone?.outSeconds ?? NEW_BAND.microphoneOutSeconds,
    microphonePlaces: oneMicrophone?.places ?? NEW_BAND.microphonePlaces,
  };
}
