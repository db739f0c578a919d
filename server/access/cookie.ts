import { createHmac, timingSafeEqual } from 'node:crypto';
import { z } from 'zod';
import { KINDS, LIMITS } from '../../lib/protocol';
import type { Session } from '../ports';

const COOKIE = 'breathmark';
/** Over TLS: a name that browsers take only from this very host, over TLS. */
const SECURE_COOKIE = `__Host-${COOKIE}`;
/** A full session is well below it; nothing longer is looked into. */
const LONGEST = 4096;

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

/** The value of the session's cookie, the one that came over TLS first. */
export function readSession(header: string | null): string | null {
  const value = readCookie(header, SECURE_COOKIE) ?? readCookie(header, COOKIE);
  return value === null || value.length > LONGEST ? null : value;
}

/** The Set-Cookie header. */
export function cookieOf(value: string, seconds: number, secure: boolean): string {
  const flags = `Path=/; Max-Age=${seconds}; HttpOnly; SameSite=Lax${secure ? '; Secure' : ''}`;
  return `${secure ? SECURE_COOKIE : COOKIE}=${value}; ${flags}`;
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
  // One session, one text: the last sign of base64url carries bits that do not count.
  if (actual.toString('base64url') !== given) return null;
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
