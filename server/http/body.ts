import type { IncomingMessage } from 'node:http';
import type { z } from 'zod';
import { granted, type PageResult, refuse } from '../../lib/protocol';

/** The body of a request that says it is JSON. Reads no more than `limit` bytes. */
export async function readBytes(request: IncomingMessage, limit: number): Promise<PageResult<Buffer>> {
  if (!(request.headers['content-type'] ?? '').startsWith('application/json'))
    return refuse('bad request', 'Content-Type: application/json is wanted');
  if (Number(request.headers['content-length'] ?? 0) > limit) return refuse('too large', atMost(limit));
  const parts: Buffer[] = [];
  let size = 0;
  try {
    for await (const part of request) {
      if (!Buffer.isBuffer(part)) return refuse('bad request', 'the body');
      size += part.length;
      if (size > limit) return refuse('too large', atMost(limit));
      parts.push(part);
    }
  } catch {
    return refuse('bad request', 'the body broke off');
  }
  return granted(Buffer.concat(parts));
}

/** The JSON of a request, checked. */
export async function readJson<T>(
  request: IncomingMessage,
  schema: z.ZodType<T>,
  limit: number,
): Promise<PageResult<T>> {
  const bytes = await readBytes(request, limit);
  if (!bytes.ok) return bytes;
  let value: unknown;
  try {
    value = JSON.parse(bytes.value.toString('utf8'));
  } catch {
    return refuse('bad request', 'the body is not JSON');
  }
  const read = schema.safeParse(value);
  if (read.success) return granted(read.data);
  const issue = read.error.issues[0];
  return refuse('bad value', issue ? `${issue.path.join('.') || 'the body'}: ${issue.message}` : 'the body');
}

const atMost = (limit: number): string => `at most ${Math.floor(limit / 1024)} KB`;
