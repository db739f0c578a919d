import { createHmac, timingSafeEqual } from 'node:crypto';
import { z } from 'zod';
import { KINDS, LIMITS } from '../../lib/protocol';
import type { Session } from '../ports';

export const COOKIE = 'breathmark';

const id = z.string().min(1).max(80);
const sessionSchema = z.object({
  id,
  expiresAt: z.number(),
  bands: z
    .array(
      z.object({
        bandId: id,
        kind: z.enum(KINDS),
        playerId: id.nullable(),
        linkId: id.nullable(),
      }),
    )
    .max(LIMITS.bands),
});

/** The value of one cookie in a Cookie header; null where it is not there. */
export function readCookie(header: string | null, name: string): string | null {
  for (const part of (header ?? '').split(';')) {
    const [key, ...value] = part.trim().split('=');
    if (key === name) return value.join('=');
  }
  return null;
}

/** `payload.signature`, both base64url; the signature is HMAC-SHA-256 over the payload. */
export function sign(session: Session, key: Uint8Array): string {
  const payload = Buffer.from(JSON.stringify(session)).toString('base64url');
  return `${payload}.${signature(payload, key).toString('base64url')}`;
}

/** Null for anything that was not signed with this key or is not a session. Expiry is not looked at. */
export function verify(value: string, key: Uint8Array): Session | null {
  const [payload, given, ...more] = value.split('.');
  if (payload === undefined || given === undefined || more.length > 0) return null;
  const expected = signature(payload, key);
  const actual = Buffer.from(given, 'base64url');
  if (actual.length !== expected.length || !timingSafeEqual(actual, expected)) return null;
  try {
    const read = sessionSchema.safeParse(JSON.parse(Buffer.from(payload, 'base64url').toString('utf8')));
    return read.success ? read.data : null;
  } catch {
    return null;
  }
}

function signature(payload: string, key: Uint8Array): Buffer {
  return createHmac('sha256', key).update(`session ${payload}`).digest();
}
