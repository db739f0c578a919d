import { z } from 'zod';
import { bandIdSchema } from './api';
import type { Refusal } from './refusals';

/**
 * POST /api/bands/BAND/sets/SET/books: begins the evening books of these players, by default of all; of one player a PDF, of several an archive
 * that has the list for the floor too. (POST /api/bands/BAND/books/BOOK/stop stops it, GET …/books/BOOK/file takes it along.)
 */
export const bookRequest = z.object({
  paper: z.enum(['a4', 'letter']).default('a4'),
  density: z.enum(['whole', 'cues', 'one page']).default('whole'),
  playerIds: z.array(bandIdSchema).min(1).max(60).nullable().default(null),
});
export type BookRequest = z.infer<typeof bookRequest>;

/** GET /api/bands/BAND/books/BOOK: how far a book is. */
export interface BookJob {
  readonly bookId: string;
  readonly state: 'waiting' | 'at work' | 'ready' | 'stopped' | 'failed';
  /** Songs laid out, and to be laid out, over all players. */
  readonly done: number;
  readonly of: number;
  /** Why it failed. */
  readonly problem: Refusal | null;
}

/** GET /api/bands/BAND/songs/SONG/left-out: what of the song a file cannot hold, by its ending, a sentence each. */
export interface LeftOut {
  readonly byEnding: Readonly<Record<string, readonly string[]>>;
}
