import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import * as Y from 'yjs';
import { itemAt } from '@/lib/base';
import { KEPT_FOR_DAYS, readBand, readSong, type SongEdits, tidy } from '@/lib/document';
import { checkSong } from '@/lib/song';
import {
  ANSWERING,
  act,
  BANDING,
  bandCrowd,
  type Doing,
  hear,
  type Move,
  meet,
  moves,
  type Replica,
  SHAPING,
  songCrowd,
  UNDOING,
} from './crowd';
import { bandEdits, songEdits } from './sample';

const DAY = 24 * 3600 * 1000;
const LOOKED = 1_760_000_000_000;
const CLEANED = LOOKED + KEPT_FOR_DAYS * DAY;

/** Edits by several people, who hear of each other now and then. */
function party<E>(all: readonly Replica<E>[], doings: readonly Doing<E>[], list: readonly Move[]): void {
  for (const move of list) {
    const who = itemAt(all, move.who % all.length);
    if (move.c % 4 === 0) hear(who, itemAt(all, move.a % all.length));
    act(who, doings, move);
  }
}

/** The server's copy, into which nobody writes. */
function serverOf(): Replica<null> {
  const doc = new Y.Doc();
  doc.clientID = 55;
  return { doc, edits: null };
}

function must(isSo: boolean, what: string): void {
  if (!isSo) throw new Error(what);
}

/** Told how many things each run cleaned up: a rule that never does would pass unseen. */
type Tell = (cleaned: number) => void;

/**
 * Two worlds in which the same people do the same, one of them tidied, read alike in the end. Everybody meets before the server looks; from
 * then on they are in new sessions, away from the server but for one word before it cleans up, and from one another now and then.
 */
const isUnnoticed = <E>(
  make: () => readonly Replica<E>[],
  anew: (doc: Y.Doc, who: number) => E,
  doings: readonly Doing<E>[],
  read: (doc: Y.Doc) => unknown,
  tell: Tell,
) =>
  fc.property(moves(3, 40), moves(3, 15), moves(3, 15), (before, after, late) => {
    const [tidied, untouched] = [true, false].map((isTidied) => {
      const all = make();
      const server = serverOf();
      party(all, doings, before);
      meet([server, ...all]);
      if (isTidied) tidy(server.doc, LOOKED);
      const now = all.map(({ doc }, who) => ({ doc, edits: anew(doc, who) }));
      party(now, doings, after);
      for (const replica of now) if (isTidied) hear(server, replica);
      if (isTidied) tell(tidy(server.doc, CLEANED).cleaned);
      party(now, doings, late);
      meet([server, ...now]);
      const reading = read(server.doc);
      for (const { doc } of now) must(isDeepStrictEqual(read(doc), reading), 'somebody reads something else');
      return reading;
    });
    must(isDeepStrictEqual(tidied, untouched), 'tidying was noticed');
  });

const barOf = (doc: Y.Doc, n: number): string => {
  const bars = readSong(doc).song.sections.flatMap((section) => section.bars);
  return bars[n % Math.max(1, bars.length)]?.id ?? 'nothing';
};

/** Removing and taking back, more often than usual. */
const REMOVING: readonly Doing<SongEdits>[] = [
  (edits, doc, { a }) => edits.removeBar(barOf(doc, a)),
  (edits, doc, { a }) => edits.removeNote(readSong(doc).song.notes[a % 5]?.id ?? 'nothing'),
  (edits, doc, { a }) => edits.removePass(readSong(doc).song.passes[a % 3]?.id ?? 'nothing'),
];
const DOINGS = [
  ...SHAPING,
  ...ANSWERING,
  ...Array.from({ length: 4 }, () => [...REMOVING, ...UNDOING]).flat(),
];

export const unnoticedInSongs = (tell: Tell) =>
  isUnnoticed(
    () => songCrowd(3),
    (doc, who) => songEdits(doc, 10 + who),
    DOINGS,
    readSong,
    tell,
  );

export const unnoticedInBands = (tell: Tell) =>
  isUnnoticed(
    () => bandCrowd(3),
    (doc, who) => bandEdits(doc, 10 + who),
    [...BANDING, ...UNDOING],
    readBand,
    tell,
  );

/** Whoever was away for longer, and takes back whatever they like, breaks nothing. */
export const breaksNothing = (tell: Tell) =>
  fc.property(moves(3, 40), moves(3, 30), (before, late) => {
    const all = songCrowd(3);
    const server = serverOf();
    party(all, DOINGS, before);
    for (const replica of all) hear(server, replica);
    const reading = readSong(server.doc);
    tidy(server.doc, LOOKED);
    tell(tidy(server.doc, CLEANED).cleaned);
    must(isDeepStrictEqual(readSong(server.doc), reading), 'tidying changed what is read');
    party(all, [...DOINGS, ...UNDOING, ...UNDOING], late);
    meet([server, ...all]);
    const { song, broken } = readSong(server.doc);
    for (const { doc } of all)
      must(isDeepStrictEqual(readSong(doc).song, song), 'somebody reads something else');
    must(checkSong(song).length === 0, checkSong(song).join('\n'));
    const strange = broken.filter((sentence) => !sentence.endsWith('lies behind the end of its bar'));
    must(strange.length === 0, strange.join('\n'));
  });
