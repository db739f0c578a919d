import { fail, ok, type Result } from '../../lib/base';
import type { Answers, ApiProblem } from './answers';

export type { ApiProblem } from './answers';
export type ApiResult<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly error: ApiProblem };

/** Asks the server once; never throws. `path` begins with `/api/`; without `body` it is a GET. */
export async function ask<N extends keyof Answers>(
  path: string,
  name: N,
  body?: unknown,
): Promise<ApiResult<Answers[N]>> {
  let reading: typeof import('./answers');
  let response: Response;
  try {
    [reading, response] = await Promise.all([
      import('./answers'),
      fetch(path, {
        method: body === undefined ? 'GET' : 'POST',
        headers: body === undefined ? {} : { 'content-type': 'application/json' },
        body: body === undefined ? null : JSON.stringify(body),
        credentials: 'same-origin',
        cache: 'no-store',
      }),
    ]);
  } catch {
    return fail(
      'the server did not answer',
      'between this device and Breathmark',
      'see that you are connected, then try again: what you typed is still here',
    );
  }
  const data: unknown = await response.json().catch(() => null);
  if (!response.ok) {
    const refused = reading.readRefusal(data);
    return refused ? { ok: false, error: refused } : unreadable(path);
  }
  const read = reading.readAnswer(name, data);
  return read ? ok(read.value) : unreadable(path);
}

function unreadable(path: string): Extract<Result<never>, { ok: false }> {
  return fail(
    'the server answered something that this page cannot read',
    path,
    'load the page again and retry; what was shown as kept is kept',
  );
}
