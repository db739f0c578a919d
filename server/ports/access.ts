import type { EnterAnswer, Kind, LinkGiven, LinkShown, PageResult } from '../../lib/protocol';

/** What a session may do in one band. */
export interface Entered {
  readonly bandId: string;
  readonly kind: Kind;
  readonly playerId: string | null;
  /** The link it came in by; null for the founder and in the demo band. */
  readonly linkId: string | null;
}

/** One device, as its cookie tells it. */
export interface Session {
  readonly id: string;
  /** Milliseconds since 1970. */
  readonly expiresAt: number;
  readonly bands: readonly Entered[];
}

export interface SessionEvents {
  /** A link of that band was ended: whoever came in by it is out, but for the session that ended it. */
  linkEnded(bandId: string, linkId: string, bySessionId: string): void;
  /** That session has a new player in that band. */
  named(sessionId: string, bandId: string, playerId: string | null): void;
  /** That session has left that band. */
  left(sessionId: string, bandId: string): void;
}

/** Who may do what. Calls that change a session answer with the session to be sent back as its cookie. */
export interface Access {
  /** Null where there is no cookie, or one that is forged, damaged or over. */
  session(cookieHeader: string | null): Session | null;
  /** The Set-Cookie header of a session. */
  cookie(session: Session, secure: boolean): string;
  /** The same session with a new term where half of the old one is gone; else null. */
  renewed(session: Session): Session | null;
  /** What the session may do in a band, its link asked for each time. */
  entered(session: Session | null, bandId: string): Promise<PageResult<Entered>>;
  /** As `entered`, for what only players may do. */
  player(session: Session | null, bandId: string): Promise<PageResult<Entered>>;
  /** Lets a device in by a link's secret. */
  enter(
    session: Session | null,
    secret: string,
  ): Promise<PageResult<{ readonly session: Session; readonly answer: EnterAnswer }>>;
  /** Lets a device into a band without a link: its founder, or anyone in the demo band. */
  admit(session: Session | null, bandId: string, playerId: string | null): PageResult<Session>;
  name(session: Session, bandId: string, playerId: string | null): Session;
  leave(session: Session, bandId: string): Session;
  addBand(bandId: string): Promise<boolean>;
  giveLink(bandId: string, kind: Kind): Promise<LinkGiven>;
  links(bandId: string): Promise<readonly LinkShown[]>;
  /** Null where there is no such link that still stands. Whoever ends a link stays in. */
  endLink(session: Session, bandId: string, linkId: string): Promise<Session | null>;
  /** Tells of what open sockets must hear about; returns the way to stop. */
  listen(events: SessionEvents): () => void;
}
