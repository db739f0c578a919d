import type { Problem } from '../base';

interface Row {
  readonly what: string;
  readonly mend: string;
  /** HTTP status. */
  readonly status: number;
  /** WebSocket close code: 44xx is final, 45xx means try again. Null: never said on a socket. */
  readonly close: number | null;
}

/** Everything that the server refuses, in the words that people read. */
const CATALOGUE = {
  'no session': {
    what: 'You are not in this band on this device.',
    mend: 'Open the link that your band gave you, or ask a bandmate for one.',
    status: 401,
    close: 4401,
  },
  'session over': {
    what: 'Your time in this band on this device has run out.',
    mend: 'Open the link that your band gave you again.',
    status: 401,
    close: 4402,
  },
  'not your band': {
    what: 'This device has not entered that band, or the link it came in by has been ended.',
    mend: 'Ask a bandmate for a new link.',
    status: 403,
    close: 4403,
  },
  'band deleted': {
    what: 'This band was deleted by one of its players.',
    mend: 'Ask a bandmate whether there is another one by now.',
    status: 410,
    close: 4406,
  },
  'wrong name': {
    what: 'That is not the name of the band.',
    mend: 'Write its name as it stands at the top of its page; nothing was deleted.',
    status: 400,
    close: null,
  },
  'demo stays': {
    what: 'The demo band is open to everybody: it cannot be closed or deleted.',
    mend: 'Make a band of your own.',
    status: 403,
    close: null,
  },
  'players only': {
    what: 'Only players may do this; you are here as a listener.',
    mend: "Ask a bandmate for a player's link.",
    status: 403,
    close: 4405,
  },
  'bad link': {
    what: 'This link opens no band.',
    mend: 'Check that it was copied whole; if it was, it has been ended: ask a bandmate for a new one.',
    status: 404,
    close: null,
  },
  'not found': {
    what: 'There is nothing here by that name.',
    mend: "Go back to the band's page and choose from the list.",
    status: 404,
    close: 4404,
  },
  'no such player': {
    what: 'The band has no player by that id.',
    mend: "Choose one of the band's players, or add yourself first.",
    status: 404,
    close: null,
  },
  'already there': {
    what: 'The band already has a song under that id.',
    mend: 'Bring the song in again, so that it gets an id of its own.',
    status: 409,
    close: null,
  },
  'too many bands': {
    what: 'This device is in as many bands as it can hold.',
    mend: 'Leave one of them first.',
    status: 409,
    close: null,
  },
  'too many songs': {
    what: 'The band has as many songs or links as it can hold.',
    mend: 'End links that nobody needs; for more songs, make a second band.',
    status: 409,
    close: null,
  },
  'other page': {
    what: 'The request came from a page of another address.',
    mend: 'Open Breathmark in a window of its own and do it there.',
    status: 403,
    close: null,
  },
  'bad request': {
    what: 'The request could not be read.',
    mend: 'Load the page again and retry.',
    status: 400,
    close: null,
  },
  'bad value': {
    what: 'Something in what was sent is not as it has to be.',
    mend: 'Change what is named and send it again.',
    status: 400,
    close: null,
  },
  'wrong method': {
    what: 'This address does not answer to that method.',
    mend: 'Load the page again and retry.',
    status: 405,
    close: null,
  },
  'too large': {
    what: 'That is more than the server takes at once.',
    mend: 'Split it into smaller parts.',
    status: 413,
    close: 4413,
  },
  'too often': {
    what: 'That is more than the server takes in so short a time.',
    mend: 'Wait a minute, then try again.',
    status: 429,
    close: 4529,
  },
  'too many at once': {
    what: 'As many pages are open at once as the server takes.',
    mend: 'Close some; the page connects again by itself.',
    status: 503,
    close: 4530,
  },
  'document full': {
    what: 'This song or band holds as much as it can.',
    mend: 'Take this last edit back: it was not kept. What was shown as kept is kept.',
    status: 413,
    close: 4414,
  },
  'come again': {
    what: 'The links of this band have changed.',
    mend: 'The page connects again by itself.',
    status: 401,
    close: 4501,
  },
  'reading failed': {
    what: 'The song could not be read within the time and memory that there is for one.',
    mend: 'Bring in a shorter one, or try again later; nothing was stored.',
    status: 422,
    close: null,
  },
  'printing failed': {
    what: 'It could not be made within the time and memory that there is for it.',
    mend: 'Ask for less at once (one player, fewer songs), or try again later.',
    status: 422,
    close: null,
  },
  'nothing written': {
    what: 'The song has no bars, so that there is nothing to write.',
    mend: 'Write at least one bar first.',
    status: 422,
    close: null,
  },
  'bad frame': {
    what: 'The page sent something that the server cannot read.',
    mend: 'Load the page again; what was shown as kept is kept.',
    status: 400,
    close: 4400,
  },
  'not loaded': {
    what: 'The document could not be loaded.',
    mend: 'Nothing is lost; the page tries again by itself.',
    status: 503,
    close: 4500,
  },
  'not kept': {
    what: 'The server could not keep the last edits.',
    mend: 'Leave this page open: it holds them and tries again by itself. If it goes on, see that the disk is not full.',
    status: 503,
    close: 4510,
  },
  'no room': {
    what: 'The server has no room left to keep this, so nothing of it was done.',
    mend: 'Whoever runs the server has to make room on its disk; then try again.',
    status: 507,
    close: null,
  },
  'too slow': {
    what: 'The connection is too slow to keep up.',
    mend: 'The page connects again by itself.',
    status: 503,
    close: 4508,
  },
  stopping: {
    what: 'The server is stopping.',
    mend: 'The page connects again by itself when the server is back.',
    status: 503,
    close: 1001,
  },
  'our fault': {
    what: 'Something went wrong on the server.',
    mend: 'Try again; what was shown as kept is kept.',
    status: 500,
    close: 4599,
  },
} as const satisfies Record<string, Row>;

export type RefusalCode = keyof typeof CATALOGUE;

/** A problem with its name in the catalogue. */
export interface Refusal extends Problem {
  readonly code: RefusalCode;
}

export interface Refused {
  readonly ok: false;
  readonly error: Refusal;
}
export interface Granted<T> {
  readonly ok: true;
  readonly value: T;
}
export const granted = <T>(value: T): Granted<T> => ({ ok: true, value });

/** The refusal of that name; `where` says which band, field or address it is about. */
export function whyNot(code: RefusalCode, where = 'Breathmark'): Refusal {
  const row = CATALOGUE[code];
  return { code, what: row.what, where, mend: row.mend };
}

/** A refusal as a result. */
export const refuse = (code: RefusalCode, where?: string): Refused => ({
  ok: false,
  error: whyNot(code, where),
});

export const statusOf = (code: RefusalCode): number => CATALOGUE[code].status;

/** The code by which a socket is closed for it; that of `our fault` where the catalogue has none. */
export function closeCode(code: RefusalCode): number {
  return CATALOGUE[code].close ?? CATALOGUE['our fault'].close;
}

/** What a close code means; null for codes that are not ours. */
export function byCloseCode(code: number, where?: string): Refusal | null {
  for (const name of Object.keys(CATALOGUE)) {
    if (isRefusalCode(name) && CATALOGUE[name].close === code) return whyNot(name, where);
  }
  return null;
}

function isRefusalCode(name: string): name is RefusalCode {
  return Object.hasOwn(CATALOGUE, name);
}
