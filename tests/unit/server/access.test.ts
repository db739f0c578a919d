import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { beforeEach, describe, expect, it } from 'vitest';
import { LIMITS } from '../../../lib/protocol';
import { bandAccess, loadKey, RateLimit, SESSION_MILLISECONDS } from '../../../server/access';
import type { Access, Session, Store } from '../../../server/ports';
import { memoryStore } from '../../../server/store';

let now: number;
let ids: number;
let store: Store;
let access: Access;
const key = new Uint8Array(32).fill(1);
const make = (otherKey: Uint8Array = key) =>
  bandAccess({
    store,
    key: otherKey,
    clock: () => now,
    secrets: (count) => new Uint8Array(count).fill(++ids),
    makeId: () => `id${++ids}`,
  });
const cookieOf = (session: Session) => access.cookie(session, false).split(';')[0] ?? '';
const secretOf = (path: string) => path.split('#')[1] ?? '';

beforeEach(() => {
  now = 1_700_000_000_000;
  ids = 0;
  store = memoryStore();
  access = make();
});

async function bandWithLinks() {
  await access.addBand('b');
  return { player: await access.giveLink('b', 'player'), listener: await access.giveLink('b', 'listener') };
}

async function enter(session: Session | null, path: string): Promise<Session> {
  const entered = await access.enter(session, secretOf(path));
  if (!entered.ok) throw new Error(entered.error.what);
  return entered.value.session;
}

describe('links', () => {
  it('let in by their secret, as what they are for', async () => {
    const { player, listener } = await bandWithLinks();
    const session = await enter(null, listener.path);
    expect(await access.entered(session, 'b')).toMatchObject({ ok: true, value: { kind: 'listener' } });
    expect(await access.player(session, 'b')).toMatchObject({ error: { code: 'players only' } });
    const both = await enter(session, player.path);
    expect(await access.player(both, 'b')).toMatchObject({ ok: true, value: { kind: 'player' } });
    // A player who opens the listeners' link stays a player.
    expect(await access.player(await enter(both, listener.path), 'b')).toMatchObject({ ok: true });
  });

  it('carry 256 bits in the fragment, and only their SHA-256 is stored', async () => {
    const { player } = await bandWithLinks();
    expect(player.path).toMatch(/^\/enter#[A-Za-z0-9_-]{43}$/);
    const hash = createHash('sha256').update(secretOf(player.path)).digest();
    expect((await store.linkBySecret(hash))?.id).toBe(player.linkId);
  });

  it('end, with every session that came in by them, but for the one that ended them', async () => {
    const { player } = await bandWithLinks();
    const a = await enter(null, player.path);
    const b = await enter(null, player.path);
    const told: unknown[] = [];
    access.listen({ linkEnded: (...what) => told.push(what), named: () => {}, left: () => {} });
    const kept = await access.endLink(a, 'b', player.linkId);
    if (kept === null) throw new Error('it stood');
    expect(told).toEqual([['b', player.linkId, a.id]]);
    expect((await access.entered(kept, 'b')).ok).toBe(true);
    expect(await access.entered(b, 'b')).toMatchObject({ error: { code: 'not your band' } });
    expect(await access.enter(null, secretOf(player.path))).toMatchObject({ error: { code: 'bad link' } });
    expect(await access.endLink(a, 'b', player.linkId)).toBeNull();
  });

  it('are refused when they are not ours', async () => {
    expect(await access.enter(null, 'x'.repeat(43))).toMatchObject({ error: { code: 'bad link' } });
  });
});

describe('the session cookie', () => {
  it('comes back as it went', async () => {
    const { player } = await bandWithLinks();
    const session = access.name(await enter(null, player.path), 'b', 'ada');
    expect(access.session(cookieOf(session))).toEqual(session);
    expect(access.session(`other=1; ${cookieOf(session)}; more=2`)).toEqual(session);
  });

  it('is for HTTP alone, for this site, and for TLS where there is TLS', async () => {
    const { player } = await bandWithLinks();
    const session = await enter(null, player.path);
    expect(access.cookie(session, false)).toMatch(/; Path=\/; Max-Age=\d+; HttpOnly; SameSite=Lax$/);
    expect(access.cookie(session, true)).toMatch(/; HttpOnly; SameSite=Lax; Secure$/);
  });

  it('is refused with any sign changed, under another key, or as nonsense', async () => {
    const { player } = await bandWithLinks();
    const cookie = cookieOf(await enter(null, player.path));
    const start = cookie.indexOf('=') + 1;
    fc.assert(
      fc.property(
        fc.integer({ min: start, max: cookie.length - 1 }),
        fc.constantFrom('A', 'z', '.', '-'),
        (at, sign) => {
          fc.pre(cookie[at] !== sign);
          const changed = cookie.slice(0, at) + sign + cookie.slice(at + 1);
          const read = access.session(changed);
          // The last sign of base64url carries bits that do not count; the session is then the very same.
          if (read !== null) expect(cookieOf(read)).toBe(cookie);
        },
      ),
      { numRuns: 200 },
    );
    expect(make(new Uint8Array(32).fill(2)).session(cookie)).toBeNull();
    fc.assert(
      fc.property(fc.string(), (text) => {
        expect(access.session(`breathmark=${text}`)).toBeNull();
      }),
    );
    expect(access.session(null)).toBeNull();
  });

  it('runs out, and is renewed when half its time is gone', async () => {
    const { player } = await bandWithLinks();
    const session = await enter(null, player.path);
    expect(access.renewed(session)).toBeNull();
    now += SESSION_MILLISECONDS / 2;
    const renewed = access.renewed(session);
    expect(renewed?.expiresAt).toBe(now + SESSION_MILLISECONDS);
    now += SESSION_MILLISECONDS / 2;
    expect(access.session(cookieOf(session))).toBeNull();
    expect(await access.entered(session, 'b')).toMatchObject({ error: { code: 'session over' } });
    expect(renewed && access.session(cookieOf(renewed))).toEqual(renewed);
  });

  it('holds so many bands, and fits a cookie when it is full', async () => {
    let session: Session | null = null;
    for (let i = 0; i < LIMITS.bands; i++) {
      const admitted = access.admit(session, `${'b'.repeat(12)}${10 + i}`, 'p'.repeat(14));
      if (!admitted.ok) throw new Error('it has room');
      session = admitted.value;
    }
    expect(access.admit(session, 'one-more', null)).toMatchObject({ error: { code: 'too many bands' } });
    // Again the same band is no new one.
    expect(access.admit(session, `${'b'.repeat(12)}10`, null).ok).toBe(true);
    // RFC 6265, section 6.1, from memory: at least 4096 bytes for each cookie.
    expect(session && access.cookie(session, true).length).toBeLessThan(4096);
  });
});

describe('the key', () => {
  it('is made once, for its owner’s eyes alone', () => {
    const folder = mkdtempSync(join(tmpdir(), 'breathmark-key-'));
    const first = loadKey(folder);
    expect(first.length).toBe(32);
    expect(loadKey(folder)).toEqual(first);
    expect(statSync(join(folder, 'session.key')).mode & 0o777).toBe(0o600);
    writeFileSync(join(folder, 'session.key'), 'short');
    expect(() => loadKey(folder)).toThrow('damaged');
    rmSync(folder, { recursive: true });
  });
});

describe('the rate limit', () => {
  it('lets so many through at once, and more as time goes by, each address for itself', () => {
    const limit = new RateLimit(3, 60, () => now);
    expect([1, 2, 3, 4].map(() => limit.take('a'))).toEqual([true, true, true, false]);
    expect(limit.take('b')).toBe(true);
    now += 1000;
    expect([limit.take('a'), limit.take('a')]).toEqual([true, false]);
  });
});
