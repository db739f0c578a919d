import type { EnterAnswer, Kind, LinkGiven, PageResult, YourLink } from '../../lib/protocol';

/** What a session may do in one band. */
export interface Entered {
  readonly bandId: string;
  readonly kind: Kind;
  readonly playerId: string | null;
  /** The link that it hangs on: the one it came in by, or one of its own; null in the open band alone. */
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
  /**
   * A link of that band was ended: whoever came in by it is out. The session that ended it has a new cookie on its way, and
   * its sockets have to come again with it: a copy of the old cookie must not live on in them.
   */
  linkEnded(bandId: string, linkId: string, bySessionId: string): void;
  /** That session has a new player in that band. */
  named(sessionId: string, bandId: string, playerId: string | null): void;
  /** That session has left that band. */
  left(sessionId: string, bandId: string): void;
  /** That band is being deleted: nobody is let in any more, and whoever is in is out. */
  bandDeleted(bandId: string): void;
}

/** Who may do what. Calls that change a session answer with the session to be sent back as its cookie. */
export interface Access {
  /** Null where there is no cookie, or one that is forged, damaged or over. */
  session(cookieHeader: string | null): Session | null;
  /** The Set-Cookie header of a session. */
  cookie(session: Session, secure: boolean): string;
  /** The same session with a new term where a day of the old one is gone; else null. */
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
  /** Lets a device into the open band, without a link. */
  admit(session: Session | null, bandId: string): Promise<PageResult<Session>>;
  /** Whether the session can hold one band more. */
  hasPlace(session: Session | null): Promise<boolean>;
  /** Notes a new band; the session is in it by a link of its own. */
  found(session: Session | null, bandId: string, playerId: string | null): Promise<PageResult<Session>>;
  name(session: Session, bandId: string, playerId: string | null): Session;
  /** Out of that band on this device; ends the session's own link, if it has one. */
  leave(session: Session, bandId: string): Promise<Session>;
  addBand(bandId: string): Promise<boolean>;
  hasBand(bandId: string): Promise<boolean>;
  giveLink(bandId: string, kind: Kind): Promise<LinkGiven>;
  /** All links that were ever given and those of single devices; `yours` is the one that the session hangs on. */
  links(bandId: string, session: Session | null): Promise<readonly YourLink[]>;
  /**
   * Ends a link and whoever came in by it, but for the session that does it: that one stays in by a link of its own, under a
   * new id. Null where there is no such link that still stands.
   */
  endLink(session: Session, bandId: string, linkId: string): Promise<Session | null>;
  /** A new link of the same kind in the place of one that was given, which is ended as by `endLink`. */
  changeLink(
    session: Session,
    bandId: string,
    linkId: string,
  ): Promise<{ readonly session: Session; readonly given: LinkGiven } | null>;
  /** Ends every link of the band, as by `endLink`: everybody is out but the session that does it. */
  endAll(session: Session, bandId: string): Promise<Session>;
  /**
   * Deletes a band: lets nobody in any more, tells those who listen, waits for `empty` (nobody has its documents open), and
   * removes it from the store. If that fails, the band is as it was.
   */
  deleteBand(bandId: string, empty: () => Promise<void>): Promise<void>;
  /** Tells of what open sockets must hear about; returns the way to stop. */
  listen(events: SessionEvents): () => void;
}
