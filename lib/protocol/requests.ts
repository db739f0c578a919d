import { z } from 'zod';
import { INSTRUMENTS } from '../instruments';
import { songSchema } from '../song';
import { KINDS } from './answers';

export const bandIdSchema = z.string().regex(/^[0-9A-Za-z_-]{1,80}$/, 'not an id');
const name = z.string().trim().min(1).max(80);

/** POST /api/enter: the secret of a link's fragment, once. */
export const enterRequest = z.object({ secret: z.string().min(16).max(200) });

/** POST /api/bands. `yourName` makes the first player, with `yourInstrument` if it is said. */
export const newBandRequest = z.object({
  name: z.string().trim().min(1).max(120),
  yourName: name.optional(),
  yourInstrument: z.enum(INSTRUMENTS).optional(),
});
export type NewBandRequest = z.infer<typeof newBandRequest>;

/**
 * POST /api/bands/BAND/links: a new link. (POST /api/bands/BAND/links/LINK/end ends one,
 * POST /api/bands/BAND/links/end ends them all.)
 */
export const linkRequest = z.object({ kind: z.enum(KINDS) });
export type AskedLink = z.infer<typeof linkRequest>;

/** POST /api/you: which of the band's players this session is; null: none of them. */
export const youRequest = z.object({ bandId: bandIdSchema, playerId: bandIdSchema.nullable() });

/** POST /api/bands/BAND/delete: for good. `name` is the band's name, written out by who means it. */
export const deleteRequest = z.object({ name: z.string().max(200) });

/** POST /api/leave: forgets a band on this device. */
export const leaveRequest = z.object({ bandId: bandIdSchema });

/** POST /api/bands/BAND/songs: a song as the page read it from a file. */
export const songRequest = z.object({ song: songSchema });

/**
 * POST /api/bands/BAND/sets/SET/books: begins the evening books of these players, by default of all; of one player a PDF, of several an archive
 * that has the list for the floor too. (POST /api/bands/BAND/books/BOOK/stop stops it, GET …/books/BOOK/file takes it along.)
 */
export const bookRequest = z.object({
  paper: z.enum(['a4', 'letter']).default('a4'),
  density: z.enum(['whole', 'cues', 'one page']).default('whole'),
  playerIds: z.array(bandIdSchema).min(1).max(60).nullable().default(null),
  /** Only what each of these parts would be stamped with, and no file. */
  stampsOnly: z.boolean().default(false),
  /** By player, the parts that are printed (entries of the set, or the names of the book's own lists); null: the whole book. */
  only: z
    .record(bandIdSchema, z.array(z.string().max(80)).max(500))
    .nullable()
    .default(null),
});
export type BookRequest = z.infer<typeof bookRequest>;
