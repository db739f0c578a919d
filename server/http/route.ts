import type { IncomingMessage } from 'node:http';
import { granted, type PageResult } from '../../lib/protocol';
import type { RateLimit } from '../access';
import type { Session } from '../ports';
import type { Answered } from './house';

/** A request that a route fits. */
export interface Call {
  readonly request: IncomingMessage;
  readonly session: Session | null;
  /** The parts of the path that stand where the route has `*`. */
  readonly parts: readonly string[];
}

/** One question of the API. An answer is sent as JSON, or as a file where it is one. */
export interface Route {
  readonly method: 'GET' | 'POST';
  readonly path: readonly string[];
  readonly status?: number;
  readonly rate?: RateLimit;
  readonly answer: (call: Call) => Promise<Answered<unknown>>;
}

/** An answer that leaves the session as it is. */
export async function plain<T>(result: Promise<PageResult<T>>): Promise<Answered<T>> {
  const settled = await result;
  return settled.ok ? granted({ answer: settled.value, session: null }) : settled;
}
