import { z } from 'zod';
import { INSTRUMENTS } from '../instruments';
import { songSchema } from '../song';

export const KINDS = ['player', 'listener'] as const;
/** The two kinds of people in a band: a player edits, a listener reads, prints and rehearses. */
export type Kind = (typeof KINDS)[number];

export const bandIdSchema = z.string().regex(/^[0-9A-Za-z_-]{1,80}$/, 'not an id');
const name = z.string().trim().min(1).max(80);

/** POST /api/enter: the secret of a link's fragment, once. */
export const enterRequest = z.object({ secret: z.string().min(16).max(200) });
/** Answer of /api/enter and /api/demo/enter. */
export interface EnterAnswer {
  readonly bandId: string;
  readonly kind: Kind;
}

/** POST /api/bands. `yourName` makes the first player, with `yourInstrument` if it is said. */
export const newBandRequest = z.object({
  name: z.string().trim().min(1).max(120),
  yourName: name.optional(),
  yourInstrument: z.enum(INSTRUMENTS).optional(),
});
export type NewBandRequest = z.infer<typeof newBandRequest>;
export interface BandMade {
  readonly bandId: string;
  /** Who the session now is; null where no name was given. */
  readonly playerId: string | null;
  readonly links: { readonly player: LinkGiven; readonly listener: LinkGiven };
}

/** A link at the one moment when its secret is known. */
export interface LinkGiven {
  readonly linkId: string;
  readonly kind: Kind;
  /** Path and fragment: `/enter#SECRET`; the page puts its own origin before it. */
  readonly path: string;
}
/** A link as it can be shown later: its secret is not stored. */
export interface LinkShown {
  readonly linkId: string;
  readonly kind: Kind;
  /** Milliseconds since 1970. */
  readonly createdAt: number;
  readonly endedAt: number | null;
}
/** A link as one device sees it. */
export interface YourLink extends LinkShown {
  /** True for one that nobody was given: it stands for one device that made the band or outlived another link. */
  readonly own: boolean;
  /** True for the one that this device is in by. */
  readonly yours: boolean;
}
/** GET /api/bands/BAND/links */
export interface LinkList {
  readonly links: readonly YourLink[];
}
/** POST /api/bands/BAND/links/LINK/change: one in the place of another, which is ended. */
export interface LinkChanged extends LinkList {
  readonly given: LinkGiven;
}
/**
 * POST /api/bands/BAND/links: a new link. (POST /api/bands/BAND/links/LINK/end ends one,
 * POST /api/bands/BAND/links/end ends them all.)
 */
export const linkRequest = z.object({ kind: z.enum(KINDS) });
export type AskedLink = z.infer<typeof linkRequest>;

/** POST /api/you: which of the band's players this session is; null: none of them. */
export const youRequest = z.object({ bandId: bandIdSchema, playerId: bandIdSchema.nullable() });
export interface YouAnswer {
  readonly bandId: string;
  readonly playerId: string | null;
}

/** POST /api/bands/BAND/delete: for good. `name` is the band's name, written out by who means it. */
export const deleteRequest = z.object({ name: z.string().max(200) });

/** POST /api/leave: forgets a band on this device. */
export const leaveRequest = z.object({ bandId: bandIdSchema });

/** POST /api/bands/BAND/songs: a song as the page read it from a file. */
export const songRequest = z.object({ song: songSchema });
export interface SongMade {
  readonly songId: string;
}

export interface SessionBand {
  readonly bandId: string;
  readonly name: string;
  readonly kind: Kind;
  readonly playerId: string | null;
}
/** GET /api/session */
export interface SessionInfo {
  readonly bands: readonly SessionBand[];
  /** The demo band's id where this server has one. */
  readonly demoBandId: string | null;
}
