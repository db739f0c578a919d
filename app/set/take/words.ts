import type { Problem } from '../../../lib/base';
import { songsInWords, whenInWords } from '../../ui/said';
import type { Progress, Trouble } from './carry';
import type { Missing } from './device';
import type { EveningNote } from './note';
import type { Stay } from './stay';
import { orderChanges } from './wanted';

const LIST = new Intl.ListFormat('en', { type: 'conjunction' });

/** What people read about an evening that is taken along. */
export const WORDS = {
  heading: 'Take this evening with you',
  take: 'Take this evening with you',
  anew: 'Take it along anew',
  rest: 'Take the rest along',
  stop: 'Stop',
  off: 'Take it off this device',
  offAllTheSame: 'Take it off all the same',
  keep: 'Leave it here',
  what: 'For a hall without a network: the set list and all its songs come onto this device, with the parts and the stand pages of whom you tick.',
  whose: 'Whose parts and stand pages',
  nobody: 'Nobody is ticked: the songs come along, and no part or stand page.',
  looking: 'Looking what is on this device …',
  cannot:
    'This browser keeps no pages for a time without a network. It does over a secure connection (https), outside a private window.',
  onceMore: 'You are not connected: what is taken off now cannot be fetched again before you are.',
  takenOff: 'The evening is off this device.',
  stopped: 'Stopped. What had come is here; the rest is not.',
  setGone: 'The band has no such set list any more. What is here stays until you take it off.',
  openFrom: 'What is here, to open',
  board: 'the song',
  inWork: 'Another window is at it.',
} as const;

/** How the browser answered when it was asked to keep what is here. */
export const STAY_WORDS: Readonly<Record<Stay, string>> = {
  promised: 'The browser has promised to keep it here until you take it off.',
  'not promised':
    'The browser has not promised to keep it: short of room, it may clear it away. Look here once more before you set out; a program that is installed on the device is more often given the promise.',
  'not said': 'This browser does not say whether it will keep it. Look here once more before you set out.',
};

/** `the set list, 3 songs, and the parts and stand pages of Ann and Ben` */
export function whatInWords(note: EveningNote, nameOf: (playerId: string) => string): string {
  const songs = songsInWords(note.songs.length);
  if (note.playerIds.length === 0) return `the set list and ${songs}`;
  return `the set list, ${songs}, and the parts and stand pages of ${LIST.format(note.playerIds.map(nameOf))}`;
}

/** What is on the device and since when; what is not there is said first. */
export function hereInWords(
  note: EveningNote,
  missing: Missing,
  nameOf: (playerId: string) => string,
): readonly string[] {
  const since = `since ${whenInWords(note.takenAt)}`;
  const asOf = note.checkedAt === null ? [] : [`As the band had it ${whenInWords(note.checkedAt)}.`];
  if (isWhole(note, missing)) return [`On this device ${since}: ${whatInWords(note, nameOf)}.`, ...asOf];
  return [`Not all of it is on this device: ${missingInWords(note, missing)}.`, ...asOf];
}

export const isWhole = (note: EveningNote, missing: Missing): boolean =>
  note.checkedAt !== null && !missing.list && missing.songs.length === 0;

function missingInWords(note: EveningNote, { songs, list }: Missing): string {
  if (songs.length === 0 && !list) return 'it was not brought to its end';
  const here = note.songs.length - songs.length;
  const lacking = [...(list ? ['the set list'] : []), ...songs];
  const are = lacking.length === 1 ? 'is' : 'are';
  return `${songsInWords(here)} of ${note.songs.length} ${here === 1 ? 'is' : 'are'} here; ${LIST.format(lacking)} ${are} missing`;
}

/** What changed since an evening was asked for, by where: the set first, then its songs in order. */
export function changesIn(
  note: EveningNote,
): readonly { readonly where: string; readonly sentences: readonly string[] }[] {
  const order = orderChanges(note.before, note.songs);
  return [
    ...(order.length > 0 ? [{ where: 'The set list', sentences: order }] : []),
    ...note.songs
      .filter(({ changes }) => changes.length > 0)
      .map(({ title, changes }) => ({ where: title, sentences: changes })),
  ];
}

export function progressInWords({ what, done, of }: Progress): string {
  if (what === 'songs') return `Fetching the songs: ${done} of ${of}`;
  if (what === 'pages') return `Fetching the pages: ${done} of ${of}`;
  return 'Fetching what the pages are drawn with';
}

/** How far it is as a share of all: the songs, then their pages, then what these need. */
export function shareOf({ what, done, of }: Progress): number {
  if (what === 'letters') return 0.95;
  const share = of === 0 ? 1 : done / of;
  return what === 'songs' ? 0.3 * share : 0.3 + 0.65 * share;
}

/** What was not taken off, and why. */
export function stayInWords(titles: readonly string[]): string {
  if (titles.length === 0) return WORDS.takenOff;
  const [is, has] = titles.length === 1 ? ['is', 'has'] : ['are', 'have'];
  return `The evening is off this device, but for ${LIST.format(titles)}, which ${has} edits that ${is} nowhere else yet: they go to the band when you are connected.`;
}

const AT_SERVER = 'between this device and Breathmark';
const HERE = 'on this device';

/** What broke it off, and what to do. */
export const TROUBLES: Readonly<Record<Trouble, Problem>> = {
  away: {
    what: 'the server did not answer',
    where: AT_SERVER,
    mend: 'see that you are connected, then take the rest along: what has come is here',
  },
  refused: {
    what: 'the server does not give this band’s songs to this device any more',
    where: AT_SERVER,
    mend: 'ask somebody in the band for a link, and open it here',
  },
  device: {
    what: 'this device did not keep what it was given',
    where: HERE,
    mend: 'leave a private window if this is one, see that the device has room, then try again',
  },
  'no room': {
    what: 'this device has no room for all of it',
    where: HERE,
    mend: 'make room on the device, or tick fewer players, then try again: what has come is here',
  },
  page: {
    what: 'the server gave something else in the place of a page',
    where: AT_SERVER,
    mend: 'load this page again, then take the rest along',
  },
  letters: {
    what: 'some of what the pages are drawn with did not come',
    where: AT_SERVER,
    mend: 'see that you are connected, then take the rest along',
  },
  'no set': {
    what: 'the band has no such set list any more',
    where: 'in the band’s sets',
    mend: 'choose another on the band’s page; what is on this device stays until you take it off',
  },
};
