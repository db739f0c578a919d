import { createHash } from 'node:crypto';
import type { MakeId } from '../../lib/base';
import { granted, LIMITS, type LinkGiven, type PageResult, refuse } from '../../lib/protocol';
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
import { COOKIE, readCookie, sign, verify } from './cookie';

const DAY = 24 * 60 * 60 * 1000;
/** A device stays in for so long after its last visit (renewed on the way). */
export const SESSION_MILLISECONDS = 180 * DAY;
/** 256 bits of a link's secret. */
const SECRET_BYTES = 32;

export interface AccessOptions {
  readonly store: BandStore;
  readonly key: Uint8Array;
  readonly clock: Clock;
  readonly secrets: Secrets;
  readonly makeId: MakeId;
}

/** Access by links and signed cookies over a store of bands. */
export function bandAccess({ store, key, clock, secrets, makeId }: AccessOptions): Access {
  const listeners = new Set<SessionEvents>();
  const fresh = (): Session => ({ id: makeId(), expiresAt: clock() + SESSION_MILLISECONDS, bands: [] });

  async function entered(session: Session | null, bandId: string): Promise<PageResult<Entered>> {
    if (session === null) return refuse('no session', `band ${bandId}`);
    if (session.expiresAt <= clock()) return refuse('session over', `band ${bandId}`);
    const found = session.bands.find((band) => band.bandId === bandId);
    if (!found) return refuse('not your band', `band ${bandId}`);
    if (found.linkId !== null) {
      const link = await store.link(found.linkId);
      if (link === null || link.endedAt !== null || link.bandId !== bandId)
        return refuse('not your band', `band ${bandId}`);
    }
    return granted(found);
  }

  return {
    session(cookieHeader) {
      const value = readCookie(cookieHeader, COOKIE);
      const session = value === null ? null : verify(value, key);
      return session !== null && session.expiresAt > clock() ? session : null;
    },

    cookie(session, secure) {
      const seconds = Math.max(0, Math.floor((session.expiresAt - clock()) / 1000));
      const flags = `Path=/; Max-Age=${seconds}; HttpOnly; SameSite=Lax${secure ? '; Secure' : ''}`;
      return `${COOKIE}=${sign(session, key)}; ${flags}`;
    },

    renewed(session) {
      if (session.expiresAt - clock() > SESSION_MILLISECONDS / 2) return null;
      return { ...session, expiresAt: clock() + SESSION_MILLISECONDS };
    },

    entered,

    async player(session, bandId) {
      const found = await entered(session, bandId);
      if (found.ok && found.value.kind !== 'player') return refuse('players only', `band ${bandId}`);
      return found;
    },

    async enter(session, secret) {
      const link = await store.linkBySecret(hashOf(secret));
      if (link === null || link.endedAt !== null) return refuse('bad link', 'the link');
      const held = session ?? fresh();
      const before = held.bands.find((band) => band.bandId === link.bandId);
      // A player who opens a listener's link of their own band stays a player.
      const stillIn = before && (await entered(held, link.bandId)).ok;
      if (before && stillIn && before.kind === 'player' && link.kind === 'listener')
        return granted({ session: held, answer: { bandId: link.bandId, kind: 'player' as const } });
      const playerId = link.kind === 'player' ? (before?.playerId ?? null) : null;
      const next = withBand(held, { bandId: link.bandId, kind: link.kind, playerId, linkId: link.id });
      if (next === null) return refuse('too many bands', 'this device');
      return granted({ session: next, answer: { bandId: link.bandId, kind: link.kind } });
    },

    admit(session, bandId, playerId) {
      const held = session ?? fresh();
      const before = held.bands.find((band) => band.bandId === bandId);
      const next = withBand(held, {
        bandId,
        kind: 'player',
        playerId: playerId ?? before?.playerId ?? null,
        linkId: null,
      });
      return next === null ? refuse('too many bands', 'this device') : granted(next);
    },

    name(session, bandId, playerId) {
      for (const listener of [...listeners]) listener.named(session.id, bandId, playerId);
      return {
        ...session,
        bands: session.bands.map((band) => (band.bandId === bandId ? { ...band, playerId } : band)),
      };
    },

    leave(session, bandId) {
      for (const listener of [...listeners]) listener.left(session.id, bandId);
      return { ...session, bands: session.bands.filter((band) => band.bandId !== bandId) };
    },

    addBand: (bandId) => store.addBand(bandId, clock()),

    async giveLink(bandId, kind): Promise<LinkGiven> {
      const secret = Buffer.from(secrets(SECRET_BYTES)).toString('base64url');
      const link: LinkRecord = { id: makeId(), bandId, kind, createdAt: clock(), endedAt: null };
      await store.addLink(link, hashOf(secret));
      return { linkId: link.id, kind, path: `/enter#${secret}` };
    },

    async links(bandId) {
      const links = await store.links(bandId);
      return links.map(({ id, kind, createdAt, endedAt }) => ({ linkId: id, kind, createdAt, endedAt }));
    },

    async endLink(session, bandId, linkId) {
      if (!(await store.endLink(bandId, linkId, clock()))) return null;
      // Whoever ends a link stays in, also by their own.
      const kept = {
        ...session,
        bands: session.bands.map((band) => (band.linkId === linkId ? { ...band, linkId: null } : band)),
      };
      for (const listener of [...listeners]) listener.linkEnded(bandId, linkId, session.id);
      return kept;
    },

    listen(events) {
      listeners.add(events);
      return () => {
        listeners.delete(events);
      };
    },
  };
}

/** The session with that band in it, in the place of an older entry; null where it is full. */
function withBand(session: Session, entered: Entered): Session | null {
  const others = session.bands.filter((band) => band.bandId !== entered.bandId);
  return others.length >= LIMITS.bands ? null : { ...session, bands: [...others, entered] };
}

function hashOf(secret: string): Uint8Array {
  return createHash('sha256').update(secret).digest();
}
