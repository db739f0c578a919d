import { createHash } from 'node:crypto';
import type { MakeId } from '../../lib/base';
import {
  granted,
  type Kind,
  LIMITS,
  type LinkGiven,
  type PageResult,
  refuse,
  type YourLink,
} from '../../lib/protocol';
import type {
  Access,
  BandStore,
  Clock,
  Entered,
  LinkRecord,
  Secrets,
  Session,
  SessionEvents,
} from '../ports';
import { cookieOf, readSession, sign, verify } from './cookie';

const DAY = 24 * 60 * 60 * 1000;
/** A device stays in for so long after its last visit. */
export const SESSION_MILLISECONDS = 30 * DAY;
/** A cookie older than this gets a new term at the next visit. */
export const RENEWED_AFTER_MILLISECONDS = DAY;
/** 256 bits of a link's secret. */
const SECRET_BYTES = 32;

export interface AccessOptions {
  readonly store: BandStore;
  readonly key: Uint8Array;
  readonly clock: Clock;
  readonly secrets: Secrets;
  readonly makeId: MakeId;
  /** The one band that is entered without a link; null: none. */
  readonly openBandId?: string | null;
}

/**
 * Access by links and signed cookies over a store of bands. Every place in a band hangs on a link that stands: whoever
 * came without one (its founder), or outlived one by ending it, hangs on a link of their own that nobody was given.
 * So there is nobody who cannot be put out.
 */
export function bandAccess(options: AccessOptions): Access {
  const { store, key, clock, secrets, makeId, openBandId = null } = options;
  const listeners = new Set<SessionEvents>();
  /** Bands that are being deleted. */
  const leaving = new Set<string>();
  const fresh = (): Session => ({ id: makeId(), expiresAt: clock() + SESSION_MILLISECONDS, bands: [] });
  const tell = (what: (listener: SessionEvents) => void): void => {
    for (const listener of [...listeners]) what(listener);
  };

  async function entered(session: Session | null, bandId: string): Promise<PageResult<Entered>> {
    const where = `band ${bandId}`;
    if (session === null) return refuse('no session', where);
    if (session.expiresAt <= clock()) return refuse('session over', where);
    const found = session.bands.find((band) => band.bandId === bandId);
    if (!found) return refuse('not your band', where);
    if (leaving.has(bandId)) return refuse('band deleted', where);
    if (found.linkId === null) return bandId === openBandId ? granted(found) : refuse('not your band', where);
    const link = await store.link(found.linkId);
    if (leaving.has(bandId)) return refuse('band deleted', where);
    if (link === null || link.endedAt !== null || link.bandId !== bandId || link.kind !== found.kind)
      return refuse('not your band', where);
    return granted(found);
  }

  /** The session with that band in it, in the place of an older entry; null where it is full of bands that still stand. */
  async function withBand(session: Session, entry: Entered): Promise<Session | null> {
    const others: Entered[] = [];
    for (const band of session.bands) {
      if (band.bandId === entry.bandId) continue;
      const counts = session.bands.length < LIMITS.bands || (await entered(session, band.bandId)).ok;
      if (counts) others.push(band);
    }
    return others.length >= LIMITS.bands ? null : { ...session, bands: [...others, entry] };
  }

  async function add(bandId: string, kind: Kind, own: boolean): Promise<{ id: string; secret: string }> {
    const secret = Buffer.from(secrets(SECRET_BYTES)).toString('base64url');
    const link: LinkRecord = { id: makeId(), bandId, kind, createdAt: clock(), endedAt: null, own };
    await store.addLink(link, hashOf(secret));
    return { id: link.id, secret };
  }

  const standing = async (bandId: string): Promise<readonly LinkRecord[]> =>
    (await store.links(bandId)).filter((link) => link.endedAt === null);

  /** The session on a link of its own in that band, under a new id: what knows the old one has no part in it. */
  function onOwnLink(session: Session, bandId: string, linkId: string): Session {
    const bands = session.bands.map((band) => (band.bandId === bandId ? { ...band, linkId } : band));
    return { ...session, id: makeId(), bands };
  }

  /** Ends links; whoever does it stays in, by a link of their own where theirs is among them. */
  async function end(session: Session, bandId: string, linkIds: readonly string[]): Promise<Session | null> {
    const mine = session.bands.find((band) => band.bandId === bandId)?.linkId ?? null;
    const ownLink = mine !== null && linkIds.includes(mine) ? await add(bandId, 'player', true) : null;
    let ended = 0;
    for (const linkId of linkIds) {
      if (!(await store.endLink(bandId, linkId, clock()))) continue;
      ended += 1;
      tell((listener) => listener.linkEnded(bandId, linkId, session.id));
    }
    if (ended === 0 && ownLink !== null) await store.endLink(bandId, ownLink.id, clock());
    if (ended === 0) return null;
    return ownLink === null ? session : onOwnLink(session, bandId, ownLink.id);
  }

  async function giveLink(bandId: string, kind: Kind): Promise<LinkGiven> {
    const { id, secret } = await add(bandId, kind, false);
    return { linkId: id, kind, path: `/enter#${secret}` };
  }

  return {
    session(cookieHeader) {
      const value = readSession(cookieHeader);
      const session = value === null ? null : verify(value, key);
      return session !== null && session.expiresAt > clock() ? session : null;
    },

    cookie(session, secure) {
      const seconds = Math.max(0, Math.floor((session.expiresAt - clock()) / 1000));
      return cookieOf(sign(session, key), seconds, secure);
    },

    renewed(session) {
      if (session.expiresAt - clock() > SESSION_MILLISECONDS - RENEWED_AFTER_MILLISECONDS) return null;
      return { ...session, expiresAt: clock() + SESSION_MILLISECONDS };
    },

    entered,

    async player(session, bandId) {
      const found = await entered(session, bandId);
      if (found.ok && found.value.kind !== 'player') return refuse('players only', `band ${bandId}`);
      return found;
    },

    async enter(session, secret) {
      // Found by its hash: how long the search takes says nothing of the secrets that are there.
      const link = await store.linkBySecret(hashOf(secret));
      if (link === null || link.endedAt !== null || link.own || leaving.has(link.bandId))
        return refuse('bad link', 'the link');
      const held = session ?? fresh();
      const before = held.bands.find((band) => band.bandId === link.bandId);
      // A player who opens a listener's link of their own band stays a player.
      const stillIn = before && (await entered(held, link.bandId)).ok;
      if (before && stillIn && before.kind === 'player' && link.kind === 'listener')
        return granted({ session: held, answer: { bandId: link.bandId, kind: 'player' as const } });
      const playerId = link.kind === 'player' ? (before?.playerId ?? null) : null;
      const entry = { bandId: link.bandId, kind: link.kind, playerId, linkId: link.id };
      const next = await withBand(held, entry);
      if (next === null) return refuse('too many bands', 'this device');
      return granted({ session: next, answer: { bandId: link.bandId, kind: link.kind } });
    },

    async admit(session, bandId) {
      const held = session ?? fresh();
      const before = held.bands.find((band) => band.bandId === bandId);
      const next = await withBand(held, {
        bandId,
        kind: 'player',
        playerId: before?.playerId ?? null,
        linkId: null,
      });
      return next === null ? refuse('too many bands', 'this device') : granted(next);
    },

    async hasPlace(session) {
      if (session === null || session.bands.length < LIMITS.bands) return true;
      const entry: Entered = { bandId: '', kind: 'player', playerId: null, linkId: null };
      return (await withBand(session, entry)) !== null;
    },

    async found(session, bandId, playerId) {
      await store.addBand(bandId, clock());
      const { id } = await add(bandId, 'player', true);
      const entry: Entered = { bandId, kind: 'player', playerId, linkId: id };
      const next = await withBand(session ?? fresh(), entry);
      return next === null ? refuse('too many bands', 'this device') : granted(next);
    },

    name(session, bandId, playerId) {
      tell((listener) => listener.named(session.id, bandId, playerId));
      return {
        ...session,
        bands: session.bands.map((band) => (band.bandId === bandId ? { ...band, playerId } : band)),
      };
    },

    async leave(session, bandId) {
      const found = await entered(session, bandId);
      const link = found.ok && found.value.linkId !== null ? await store.link(found.value.linkId) : null;
      // Nobody else is in by it: this is the one leaving that also ends every copy of the cookie.
      if (link?.own) await store.endLink(bandId, link.id, clock());
      if (found.ok) tell((listener) => listener.left(session.id, bandId));
      return { ...session, bands: session.bands.filter((band) => band.bandId !== bandId) };
    },

    addBand: (bandId) => store.addBand(bandId, clock()),
    hasBand: (bandId) => store.hasBand(bandId),
    giveLink,

    async links(bandId, session) {
      const mine = session?.bands.find((band) => band.bandId === bandId)?.linkId ?? null;
      const links = await store.links(bandId);
      return links.map(
        ({ id, kind, createdAt, endedAt, own }): YourLink => ({
          linkId: id,
          kind,
          createdAt,
          endedAt,
          own,
          yours: id === mine,
        }),
      );
    },

    endLink: (session, bandId, linkId) => end(session, bandId, [linkId]),

    async changeLink(session, bandId, linkId) {
      const old = (await standing(bandId)).find((link) => link.id === linkId && !link.own);
      if (old === undefined) return null;
      const given = await giveLink(bandId, old.kind);
      const kept = await end(session, bandId, [linkId]);
      if (kept !== null) return { session: kept, given };
      await store.endLink(bandId, given.linkId, clock());
      return null;
    },

    async endAll(session, bandId) {
      let kept = session;
      // Again, for links that were given out in the meantime.
      for (;;) {
        const mine = kept.bands.find((band) => band.bandId === bandId)?.linkId ?? null;
        const others = (await standing(bandId)).filter((link) => kept === session || link.id !== mine);
        const next = await end(
          kept,
          bandId,
          others.map((link) => link.id),
        );
        if (next === null) return kept;
        kept = next;
      }
    },

    async deleteBand(bandId, empty) {
      leaving.add(bandId);
      try {
        tell((listener) => listener.bandDeleted(bandId));
        // Again, for who had just been let in and had not sat down yet.
        await new Promise((done) => setImmediate(done));
        tell((listener) => listener.bandDeleted(bandId));
        await empty();
        await store.deleteBand(bandId);
      } finally {
        leaving.delete(bandId);
      }
    },

    listen(events) {
      listeners.add(events);
      return () => {
        listeners.delete(events);
      };
    },
  };
}

function hashOf(secret: string): Uint8Array {
  return createHash('sha256').update(secret).digest();
}
