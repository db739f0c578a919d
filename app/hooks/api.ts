import { z } from 'zod';
import { fail, ok, type Problem, type Result } from '../../lib/base';

const problemSchema = z.object({
  error: z.object({ what: z.string(), where: z.string(), mend: z.string(), code: z.string().optional() }),
});

/** A problem that may carry its name in the server's catalogue. */
export type ApiProblem = Problem & { readonly code?: string | undefined };
export type ApiResult<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly error: ApiProblem };

const id = z.string().min(1);
const link = z.object({ linkId: id, kind: z.enum(['player', 'listener']), path: z.string().startsWith('/') });
const links = z.array(
  z.object({
    linkId: id,
    kind: z.enum(['player', 'listener']),
    createdAt: z.number(),
    endedAt: z.number().nullable(),
    own: z.boolean(),
    yours: z.boolean(),
  }),
);
/** The answers that pages read, as lib/protocol describes them. */
export const answers = {
  entered: z.object({ bandId: id, kind: z.enum(['player', 'listener']) }),
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
  nothing: z.unknown(),
} as const;

/** Asks the server once; never throws. `path` begins with `/api/`; without `body` it is a GET. */
export async function ask<T>(path: string, answer: z.ZodType<T>, body?: unknown): Promise<ApiResult<T>> {
  let response: Response;
  try {
    response = await fetch(path, {
      method: body === undefined ? 'GET' : 'POST',
      headers: body === undefined ? {} : { 'content-type': 'application/json' },
      body: body === undefined ? null : JSON.stringify(body),
      credentials: 'same-origin',
      cache: 'no-store',
    });
  } catch {
    return fail(
      'the server did not answer',
      'between this device and Breathmark',
      'see that you are connected, then try again: what you typed is still here',
    );
  }
  const data: unknown = await response.json().catch(() => null);
  if (!response.ok) {
    const refused = problemSchema.safeParse(data);
    return refused.success ? { ok: false, error: refused.data.error } : unreadable(path);
  }
  const read = answer.safeParse(data);
  return read.success ? ok(read.data) : unreadable(path);
}

function unreadable(path: string): Extract<Result<never>, { ok: false }> {
  return fail(
    'the server answered something that this page cannot read',
    path,
    'load the page again and retry; what was shown as kept is kept',
  );
}
