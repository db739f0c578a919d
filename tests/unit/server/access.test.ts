import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { beforeEach, describe, expect, it } from 'vitest';
import { LIMITS } from '../../../lib/protocol';
import {
  bandAccess,
  loadKey,
  RateLimit,
  RENEWED_AFTER_MILLISECONDS,
  SESSION_MILLISECONDS,
  Slots,
} from '../../../server/access';
import type { Access, Session, SessionEvents, Store } from '../../../server/ports';
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
    openBandId: 'open',
  });
const cookieOf = (session: Session) => access.cookie(session, false).split(';')[0] ?? '';
const secretOf = (path: string) => path.split('#')[1] ?? '';

beforeEach(() => {
  now = 1_700_000_000_000;
  ids = 0;
  store = memoryStore();
  access = make();
});

const hearing = (events: Partial<SessionEvents>): SessionEvents => ({
  linkEnded: () => {},
  named: () => {},
  left: () => {},
  bandDeleted: () => {},
  ...events,
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
    access.listen(hearing({ linkEnded: (...what) => told.push(what) }));
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

  it('goes by a name that is for this host over TLS alone, where there is TLS', async () => {
    const { player } = await bandWithLinks();
    const session = await enter(null, player.path);
    const secure = access.cookie(session, true).split(';')[0] ?? '';
    expect(secure).toMatch(/^__Host-breathmark=/);
    // The one that came over TLS goes before one that anybody on the wire could have set.
    const other = cookieOf(await enter(null, player.path));
    expect(access.session(`${other}; ${secure}`)).toEqual(session);
  });

  it('is refused with any sign changed, under another key, or as nonsense', async () => {
    const { player } = await bandWithLinks();
    const cookie = cookieOf(await enter(null, player.path));
    const start = cookie.indexOf('=') + 1;
    fc.assert(
      fc.property(
        fc.integer({ min: start, max: cookie.length - 1 }),
        fc.constantFrom('A', 'z', '.', '-', '_', '=', '%', '+', '/'),
        (at, sign) => {
          fc.pre(cookie[at] !== sign);
          expect(access.session(cookie.slice(0, at) + sign + cookie.slice(at + 1))).toBeNull();
        },
      ),
      { numRuns: 300 },
    );
    expect(access.session(`${cookie}=`)).toBeNull();
    expect(access.session(`breathmark=${'A'.repeat(5000)}`)).toBeNull();
    expect(make(new Uint8Array(32).fill(2)).session(cookie)).toBeNull();
    fc.assert(
      fc.property(fc.string(), (text) => {
        expect(access.session(`breathmark=${text}`)).toBeNull();
      }),
    );
    expect(access.session(null)).toBeNull();
  });

  it('runs out a month after the last visit, and has a new term a day after the one before', async () => {
    const { player } = await bandWithLinks();
    const session = await enter(null, player.path);
    expect(access.renewed(session)).toBeNull();
    now += RENEWED_AFTER_MILLISECONDS;
    const renewed = access.renewed(session);
    expect(renewed?.expiresAt).toBe(now + SESSION_MILLISECONDS);
    now += SESSION_MILLISECONDS - RENEWED_AFTER_MILLISECONDS;
    expect(access.session(cookieOf(session))).toBeNull();
    expect(await access.entered(session, 'b')).toMatchObject({ error: { code: 'session over' } });
    expect(renewed && access.session(cookieOf(renewed))).toEqual(renewed);
  });

  it('holds so many bands, those that stand, and fits a cookie when it is full', async () => {
    let session: Session | null = null;
    const band = (i: number) => `${'b'.repeat(12)}${10 + i}`;
    for (let i = 0; i < LIMITS.bands; i++) {
      expect(await access.hasPlace(session)).toBe(true);
      const founded = await access.found(session, band(i), 'p'.repeat(14));
      if (!founded.ok) throw new Error('it has room');
      session = founded.value;
    }
    expect(await access.hasPlace(session)).toBe(false);
    expect(await access.admit(session, 'open')).toMatchObject({ error: { code: 'too many bands' } });
    // Again the same band is no new one.
    const again = await access.giveLink(band(0), 'player');
    expect((await access.enter(session, secretOf(again.path))).ok).toBe(true);
    // RFC 6265, section 6.1, from memory: at least 4096 bytes for each cookie.
    expect(session && access.cookie(session, true).length).toBeLessThan(4096);
    // One that it was put out of makes room.
    const links = await store.links(band(3));
    await store.endLink(band(3), links[0]?.id ?? '', now);
    const admitted = await access.admit(session, 'open');
    expect(admitted.ok && admitted.value.bands.map(({ bandId }) => bandId)).not.toContain(band(3));
  });
});

describe('a founder', () => {
  async function founded(bandId: string) {
    const made = await access.found(null, bandId, 'ada');
    if (!made.ok) throw new Error(made.error.what);
    return made.value;
  }

  it('hangs on a link of their own, which lets nobody in and can be ended by a bandmate', async () => {
    const ada = await founded('b');
    const { path } = await access.giveLink('b', 'player');
    const ben = await enter(null, path);
    const own = (await access.links('b', ada)).find((link) => link.own);
    expect(own).toMatchObject({ kind: 'player', endedAt: null, yours: true });
    expect((await access.links('b', ben)).find((link) => link.own)?.yours).toBe(false);
    expect((await access.player(ada, 'b')).ok).toBe(true);
    await access.endLink(ben, 'b', own?.linkId ?? '');
    expect(await access.player(ada, 'b')).toMatchObject({ error: { code: 'not your band' } });
    expect((await access.player(ben, 'b')).ok).toBe(true);
  });

  it('who leaves is out with every copy of the cookie', async () => {
    const ada = await founded('b');
    await access.leave(ada, 'b');
    expect(await access.player(ada, 'b')).toMatchObject({ error: { code: 'not your band' } });
  });

  it('is the only way into a band without a link: a session that names none is believed in the open band alone', async () => {
    await access.addBand('b');
    const admitted = await access.admit(null, 'b');
    if (!admitted.ok) throw new Error(admitted.error.what);
    expect(await access.entered(admitted.value, 'b')).toMatchObject({ error: { code: 'not your band' } });
    const guest = await access.admit(null, 'open');
    expect(guest.ok && (await access.player(guest.value, 'open')).ok).toBe(true);
  });
});

describe('putting people out', () => {
  it('is by their link; a copy of the cookie of the one who ended it is out as well', async () => {
    const { player } = await bandWithLinks();
    const session = await enter(null, player.path);
    const kept = await access.endLink(session, 'b', player.linkId);
    if (kept === null) throw new Error('it stood');
    expect((await access.entered(kept, 'b')).ok).toBe(true);
    expect(kept.id).not.toBe(session.id);
    expect(await access.entered(session, 'b')).toMatchObject({ error: { code: 'not your band' } });
  });

  it('is by changing a link: the new one opens, the old one does not', async () => {
    const { player, listener } = await bandWithLinks();
    const ada = await enter(null, player.path);
    const fan = await enter(null, listener.path);
    const changed = await access.changeLink(ada, 'b', listener.linkId);
    if (changed === null) throw new Error('it stood');
    expect(changed.session).toBe(ada);
    expect(changed.given.kind).toBe('listener');
    expect((await access.entered(fan, 'b')).ok).toBe(false);
    expect((await access.enter(null, secretOf(listener.path))).ok).toBe(false);
    expect((await access.entered(await enter(null, changed.given.path), 'b')).ok).toBe(true);
    expect(await access.changeLink(ada, 'b', listener.linkId)).toBeNull();
    expect(await access.changeLink(ada, 'b', 'none')).toBeNull();
  });

  it('all at once leaves the one who does it alone in the band', async () => {
    const made = await access.found(null, 'b', 'ada');
    if (!made.ok) throw new Error(made.error.what);
    const ada = made.value;
    const links = [await access.giveLink('b', 'player'), await access.giveLink('b', 'listener')];
    const others: Session[] = [];
    for (const link of links) others.push(await enter(null, link.path));
    const told: string[] = [];
    access.listen(hearing({ linkEnded: (_band, linkId) => told.push(linkId) }));
    const kept = await access.endAll(ada, 'b');
    expect((await access.player(kept, 'b')).ok).toBe(true);
    for (const out of [...others, ada])
      expect(await access.entered(out, 'b')).toMatchObject({ error: { code: 'not your band' } });
    for (const link of links)
      expect(await access.enter(null, secretOf(link.path))).toMatchObject({ error: { code: 'bad link' } });
    const standing = (await access.links('b', kept)).filter((link) => link.endedAt === null);
    expect(standing).toMatchObject([{ own: true, yours: true }]);
    expect(told).toHaveLength(3);
  });

  it('leaves nobody in whose link was made into one of another kind or band', async () => {
    const { listener } = await bandWithLinks();
    await access.addBand('c');
    const session = await enter(null, listener.path);
    const [entry] = session.bands;
    if (!entry) throw new Error('it came in');
    // Even a session that we had signed by mistake.
    const wider = { ...session, bands: [{ ...entry, kind: 'player' as const }] };
    const elsewhere = { ...session, bands: [{ ...entry, bandId: 'c' }] };
    expect((await access.entered(wider, 'b')).ok).toBe(false);
    expect((await access.entered(elsewhere, 'c')).ok).toBe(false);
  });
});

describe('deleting a band', () => {
  it('lets nobody in from its first moment, tells who listens, and takes everything along', async () => {
    const { player } = await bandWithLinks();
    await store.create('band.b', new Uint8Array([1]));
    await store.create('song.b.x', new Uint8Array([1]));
    await store.create('song.bb.x', new Uint8Array([1]));
    const session = await enter(null, player.path);
    const told: string[] = [];
    access.listen(hearing({ bandDeleted: (bandId) => told.push(bandId) }));
    await access.deleteBand('b', async () => {
      expect(told).toEqual(['b', 'b']);
      expect(await access.entered(session, 'b')).toMatchObject({ error: { code: 'band deleted' } });
      expect((await access.enter(null, secretOf(player.path))).ok).toBe(false);
    });
    expect(await access.hasBand('b')).toBe(false);
    expect(await store.links('b')).toEqual([]);
    expect([await store.load('band.b'), await store.load('song.b.x')]).toEqual([null, null]);
    expect(await store.load('song.bb.x')).not.toBeNull();
    expect((await access.entered(session, 'b')).ok).toBe(false);
  });

  it('that fails leaves it as it was', async () => {
    const { player } = await bandWithLinks();
    const session = await enter(null, player.path);
    await expect(
      access.deleteBand('b', async () => {
        throw new Error('the disk is full');
      }),
    ).rejects.toThrow('full');
    expect((await access.entered(session, 'b')).ok).toBe(true);
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

  it('remembers so many addresses and no more, those that asked last', () => {
    const limit = new RateLimit(1, 1, () => now);
    for (let i = 0; i < 100_500; i++) limit.take(`address ${i}`);
    expect(limit.size).toBe(100_000);
    expect([limit.take('address 100499'), limit.take('address 0')]).toEqual([false, true]);
    now += 10 * 60_000;
    limit.take('one more');
    expect(limit.size).toBe(1);
  });
});

describe('slots', () => {
  it('are so many for each, and so many in all; each is given back once', () => {
    const slots = new Slots<object>(2, 3);
    const [first, second, third, fourth, fifth] = [{}, {}, {}, {}, {}];
    expect(slots.take(first, 'a')).toBe(true);
    expect([
      slots.take(second, 'a'),
      slots.take(third, 'a'),
      slots.take(fourth, 'b'),
      slots.take(fifth, 'c'),
    ]).toEqual([true, false, true, false]);
    slots.giveBack(first);
    slots.giveBack(first);
    expect(slots.total).toBe(2);
    expect(slots.take(third, 'a')).toBe(true);
    expect(slots.take(fifth, 'b')).toBe(false);
  });
});
