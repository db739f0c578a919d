/** What a user is told when something cannot be done: what it is, where, and what to do about it. */
export interface Problem {
  readonly what: string;
  readonly where: string;
  readonly mend: string;
}

/** Failure as a value, wherever a user can cause it. */
export type Result<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly error: Problem };

export const ok = <T>(value: T): Result<T> => ({ ok: true, value });

export const fail = (what: string, where: string, mend: string): { ok: false; error: Problem } => ({
  ok: false,
  error: { what, where, mend },
});
