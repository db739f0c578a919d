import type { Band, Song } from '../song';
import type { Kind, SessionInfo } from './answers';
import type { Granted, Refused } from './refusals';

/** What a page gets, or why not; `error.code` is the name in the catalogue. */
export type PageResult<T> = Granted<T> | Refused;

/** Who asks, in that band. */
export interface You {
  readonly playerId: string | null;
  readonly kind: Kind;
}
export interface BandPage {
  readonly band: Band;
  readonly you: You;
}
export interface SongPage extends BandPage {
  readonly song: Song;
}

/**
 * The port through which a page gets its first data, so that its words show before its scripts run. Every call
 * takes the request's Cookie header as it came (null where there was none) and answers only what that session may see.
 */
export interface PageData {
  /** Null where the device is in no band. */
  session(cookieHeader: string | null): Promise<SessionInfo | null>;
  band(bandId: string, cookieHeader: string | null): Promise<PageResult<BandPage>>;
  song(bandId: string, songId: string, cookieHeader: string | null): Promise<PageResult<SongPage>>;
}

/** Server and pages are bundled apart, so the port hangs on a symbol that both know. */
const PORT = Symbol.for('breathmark.page-data');

/** The server fills the port at its start. */
export function providePageData(data: PageData): void {
  Reflect.set(globalThis, PORT, data);
}

/** The port; throws where no server has filled it, which only a mistake of ours can cause. */
export function pageData(): PageData {
  const data: PageData | undefined = Reflect.get(globalThis, PORT);
  if (data === undefined) throw new Error('no server has provided the page data');
  return data;
}
