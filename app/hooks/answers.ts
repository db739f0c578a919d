import { z } from 'zod';
import type { Problem } from '../../lib/base';
import { INSTRUMENTS } from '../../lib/instruments';
import {
  type BandMade,
  type BookJob,
  type EnterAnswer,
  KINDS,
  type LinkChanged,
  type LinkGiven,
  type LinkList,
  type SessionBand,
  type SongMade,
  type YouAnswer,
} from '../../lib/protocol';
import type { SetSong } from '../../lib/sets';
import { keySchema, meterSchema } from '../../lib/song';

/** A problem that may carry its name in the server's catalogue. */
export type ApiProblem = Problem & { readonly code?: string | undefined };

/** What pages read of the server's answers, by the name under which they ask. */
export interface Answers {
  readonly entered: EnterAnswer;
  readonly bandMade: BandMade;
  readonly link: LinkGiven;
  readonly links: LinkList;
  readonly linkChanged: LinkChanged;
  readonly you: YouAnswer;
  readonly songMade: SongMade;
  readonly session: { readonly bands: readonly Pick<SessionBand, 'bandId'>[] };
  readonly book: Omit<BookJob, 'problem'> & { readonly problem: ApiProblem | null };
  readonly setSongs: { readonly songs: readonly SetSong[] };
  readonly nothing: unknown;
}

const id = z.string().min(1);
const kind = z.enum(KINDS);
const link = z.object({ linkId: id, kind, path: z.string().startsWith('/') });
const links = z.array(
  z.object({
    linkId: id,
    kind,
    createdAt: z.number(),
    endedAt: z.number().nullable(),
    own: z.boolean(),
    yours: z.boolean(),
  }),
);
const problem = z.object({
  what: z.string(),
  where: z.string(),
  mend: z.string(),
  code: z.string().optional(),
});
const setSong: z.ZodType<SetSong> = z.object({
  id,
  title: z.string(),
  key: keySchema.nullable(),
  tempo: z.number().nullable(),
  meter: meterSchema,
  seconds: z.number(),
  leadSinger: id.nullable(),
  needs: z.array(
    z.object({
      playerId: id,
      setup: z.object({
        instrument: z.enum(INSTRUMENTS),
        tuning: z.string(),
        capo: z.number(),
        fifthCapo: z.number().nullable(),
      }),
    }),
  ),
  energy: z.number().nullable(),
  shaky: z.boolean(),
  talkSeconds: z.number(),
  place: z.number().nullable(),
});
const schemas: { readonly [N in keyof Answers]: z.ZodType<Answers[N]> } = {
  entered: z.object({ bandId: id, kind }),
  bandMade: z.object({
    bandId: id,
    playerId: id.nullable(),
    links: z.object({ player: link, listener: link }),
  }),
  link,
  links: z.object({ links }),
  linkChanged: z.object({ links, given: link }),
  you: z.object({ bandId: id, playerId: id.nullable() }),
  songMade: z.object({ songId: id }),
  session: z.object({ bands: z.array(z.object({ bandId: id })) }),
  book: z.object({
    bookId: id,
    state: z.enum(['waiting', 'at work', 'ready', 'stopped', 'failed']),
    done: z.number(),
    of: z.number(),
    problem: problem.nullable(),
    stamps: z.record(id, z.record(z.string(), z.string())).nullable(),
  }),
  setSongs: z.object({ songs: z.array(setSong) }),
  nothing: z.unknown(),
};

/** An answer of that name; null where it is none. Loaded when something is asked, not with the page. */
export function readAnswer<N extends keyof Answers>(
  name: N,
  data: unknown,
): { readonly value: Answers[N] } | null {
  const read = schemas[name].safeParse(data);
  return read.success ? { value: read.data } : null;
}

/** Why the server refused; null where it does not say. */
export function readRefusal(data: unknown): ApiProblem | null {
  const read = z.object({ error: problem }).safeParse(data);
  return read.success ? read.data.error : null;
}
