import type { Refusal } from './refusals';

export const KINDS = ['player', 'listener'] as const;
/** The two kinds of people in a band: a player edits, a listener reads, prints and rehearses. */
export type Kind = (typeof KINDS)[number];

/** Answer of /api/enter and /api/demo/enter. */
export interface EnterAnswer {
  readonly bandId: string;
  readonly kind: Kind;
}

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

export interface YouAnswer {
  readonly bandId: string;
  readonly playerId: string | null;
}

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

/** GET /api/bands/BAND/books/BOOK: how far a book is. */
export interface BookJob {
  readonly bookId: string;
  readonly state: 'waiting' | 'at work' | 'ready' | 'stopped' | 'failed';
  /** Songs laid out, and to be laid out, over all players. */
  readonly done: number;
  readonly of: number;
  /** Why it failed. */
  readonly problem: Refusal | null;
  /** Once it is ready: by player and part, what each part of the book is stamped with. */
  readonly stamps: BookStamps | null;
}

/** By player; songs by the ids of their entries in the set, and the book's own lists by their names. */
export type BookStamps = Readonly<Record<string, Readonly<Record<string, string>>>>;

/** GET /api/bands/BAND/songs/SONG/left-out: what of the song a file cannot hold, by its ending, a sentence each. */
export interface LeftOut {
  readonly byEnding: Readonly<Record<string, readonly string[]>>;
}
