import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { itemAt, type Result } from '@/lib/base';
import {
  KEPT_FOR_DAYS,
  newBandDocument,
  newSongDocument,
  readBand,
  readSong,
  type SongEdits,
  tidy,
} from '@/lib/document';
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
import { BAND, bandEdits, bar, SONG, songEdits } from './sample';

const DAY = 24 * 3600 * 1000;
const START = 1_760_000_000_000;
const day = (n: number) => START + n * DAY;

const value = <T>(result: Result<T>): T => {
  if (!result.ok) throw new Error(result.error.what);
  return result.value;
};
const size = (doc: Y.Doc) => Y.encodeStateAsUpdate(doc).length;

/** The server's copy and a person's, with one song. */
function open(clientId = 7) {
  const server = newSongDocument(SONG);
  const doc = new Y.Doc();
  doc.clientID = clientId;
  const meetServer = () => {
    Y.applyUpdate(doc, Y.encodeStateAsUpdate(server, Y.encodeStateVector(doc)));
    Y.applyUpdate(server, Y.encodeStateAsUpdate(doc, Y.encodeStateVector(server)));
  };
  meetServer();
  return { server, doc, edits: songEdits(doc), meetServer };
}

describe('tidying up', () => {
  it('looks first, waits, and takes only what nobody sees', () => {
    const { server, edits, meetServer } = open();
    expect(tidy(server, day(0))).toEqual({ waiting: 0, cleaned: 0 });
    value(edits.removeBar('v1'));
    value(edits.removeSection('chorus'));
    value(edits.removeNote('n1'));
    value(edits.withdrawProposal('p1'));
    meetServer();
    const before = readSong(server);
    // The bar with three notes and two chords; the section, its bar, its note, its chord and its pass; words; votes.
    const waiting = 6 + 5 + 1 + 1;
    expect(tidy(server, day(1))).toEqual({ waiting, cleaned: 0 });
    const looked = size(server);
    expect(tidy(server, day(1 + KEPT_FOR_DAYS) - 1)).toEqual({ waiting, cleaned: 0 });
    expect(size(server)).toBe(looked);
    expect(tidy(server, day(1 + KEPT_FOR_DAYS))).toEqual({ waiting: 0, cleaned: waiting });
    expect(readSong(server)).toEqual(before);
    expect(tidy(server, day(1000))).toEqual({ waiting: 0, cleaned: 0 });
    const text = JSON.stringify(
      Object.fromEntries([...server.share.keys()].map((k) => [k, server.getMap(k)])),
    );
    for (const gone of ['"n1:1"', '"n3"', '"ch1"', '"p1:ann"', '"pass-2"']) {
      // What is settled and said names its place still.
      expect(JSON.stringify(JSON.parse(text).words) + JSON.stringify(JSON.parse(text).notes)).not.toContain(
        gone,
      );
    }
    expect(text).toContain('"pass-1"');
    expect(JSON.parse(text).bars.v1).toEqual({ removed: true });
    expect(JSON.parse(text).passes).not.toHaveProperty('pass-2');
    expect(JSON.parse(text).votes).toEqual({});
    expect(JSON.parse(text).meta).not.toHaveProperty('cleaning');
  });

  it('does nothing to a document of another version, or an empty one', () => {
    const { server, edits, meetServer } = open();
    value(edits.removeBar('v1'));
    meetServer();
    server.getMap('meta').set('version', 99);
    const state = Y.encodeStateAsUpdate(server);
    expect(tidy(server, day(0))).toEqual({ waiting: 0, cleaned: 0 });
    expect(Y.encodeStateAsUpdate(server)).toEqual(state);
    expect(tidy(new Y.Doc(), day(0))).toEqual({ waiting: 0, cleaned: 0 });
  });

  it('starts anew for what was brought back and removed again, or written to, since it looked', () => {
    const { server, edits, meetServer } = open();
    value(edits.removeBar('v2'));
    value(edits.removeBar('v1'));
    value(edits.removeNote('n1'));
    meetServer();
    tidy(server, day(0));
    edits.undo();
    edits.undo();
    meetServer();
    value(edits.removeBar('v1'));
    value(edits.removeNote('n1'));
    meetServer();
    const { cleaned, waiting } = tidy(server, day(KEPT_FOR_DAYS));
    expect(cleaned).toBe(1);
    expect(waiting).toBe(7);
    edits.undo();
    edits.undo();
    meetServer();
    expect(readSong(server).song.notes).toEqual(SONG.notes);
    expect(readSong(server).song.sections[0]?.bars.map(({ id }) => id)).toEqual(['v0', 'v1', 'v3']);
  });

  it('hides what somebody who was away hangs on a bar that has been cleaned up', () => {
    const { server, doc, edits, meetServer } = open();
    const other = new Y.Doc();
    Y.applyUpdate(other, Y.encodeStateAsUpdate(server));
    const away = songEdits(other, 1);
    value(edits.removeBar('v1'));
    value(edits.removeSection('chorus'));
    meetServer();
    tidy(server, day(0));
    tidy(server, day(KEPT_FOR_DAYS));
    const { id: _id, ...fields } = bar('');
    value(away.setNote('n3', { midi: 50 }));
    value(away.setSyllable('n2', 1, { text: 'late', joins: false, endsLine: false }));
    value(away.setBar('v1', { tempo: 90 }));
    value(away.setChord('v1', 960, 'Em'));
    value(away.insertBar('chorus', 'c1', fields));
    value(away.addPass({ sectionId: 'chorus' }));
    value(away.setRole('pass-2', 'bo', 'break'));
    value(away.setNote('n2', { barId: 'v2' }));
    Y.applyUpdate(server, Y.encodeStateAsUpdate(other));
    meetServer();
    Y.applyUpdate(other, Y.encodeStateAsUpdate(server));
    const { song, broken } = readSong(server);
    expect(broken).toEqual([]);
    expect(checkSong(song)).toEqual([]);
    expect(song.notes.map(({ id }) => id)).toEqual(['n1', 'n2']);
    expect(song.sections.map((section) => section.bars.map(({ id }) => id))).toEqual([['v0', 'v2', 'v3']]);
    expect(readSong(doc).song).toEqual(song);
    expect(readSong(other).song).toEqual(song);
    expect(tidy(server, day(KEPT_FOR_DAYS + 1)).waiting).toBeGreaterThan(0);
    expect(tidy(server, day(2 * KEPT_FOR_DAYS + 2)).waiting).toBe(0);
    expect(readSong(server)).toEqual({ ...readSong(server), song, broken: [] });
  });

  it('cleans up a band, and keeps what can be brought back', () => {
    const doc = newBandDocument(BAND);
    const edits = bandEdits(doc);
    value(edits.removeSong('hay'));
    value(edits.removeSet('short'));
    value(edits.removeFromSet('e2'));
    value(edits.removePlayer('bo'));
    const before = readBand(doc);
    expect(tidy(doc, day(0))).toEqual({ waiting: 3, cleaned: 0 });
    expect(tidy(doc, day(KEPT_FOR_DAYS))).toEqual({ waiting: 0, cleaned: 3 });
    expect(readBand(doc)).toEqual(before);
    value(edits.addSong({ id: 'hay', title: 'Hay' }));
    expect(readBand(doc).band.sets[0]?.entries.map(({ id }) => id)).toEqual(['e1', 'e3']);
  });

  it('waits too where the clock has gone back, and looks anew where it comes from far ahead', () => {
    const { server, edits, meetServer } = open();
    value(edits.removeBar('v1'));
    meetServer();
    tidy(server, day(500));
    expect(tidy(server, day(0)).cleaned).toBe(0);
    expect(tidy(server, day(KEPT_FOR_DAYS) - 1).cleaned).toBe(0);
    expect(tidy(server, day(KEPT_FOR_DAYS)).cleaned).toBe(6);
  });
});

/** Edits by several people, who hear of each other now and then. */
function party<E>(all: readonly Replica<E>[], doings: readonly Doing<E>[], list: readonly Move[]): void {
  for (const move of list) {
    const who = itemAt(all, move.who % all.length);
    if (move.c % 4 === 0) hear(who, itemAt(all, move.a % all.length));
    act(who, doings, move);
  }
}

interface World<E> {
  readonly all: readonly Replica<E>[];
  readonly server: Replica<unknown>;
}

function world<E>(crowd: readonly Replica<E>[]): World<E> {
  const doc = new Y.Doc();
  doc.clientID = 55;
  return { all: crowd, server: { doc, edits: null } };
}

/** Counted over all worlds: a rule that never cleans up would pass unseen. */
let cleanedUp = 0;

/**
 * Two worlds in which the same people do the same, one of them tidied. `between` is done before everybody meets for the last time
 * before the server looks; `after` in the ninety days that follow, `late` while they are cut off from the tidied server.
 */
function worlds<E>(
  make: () => readonly Replica<E>[],
  anew: (replica: Replica<E>, who: number) => E,
  doings: readonly Doing<E>[],
  read: (doc: Y.Doc) => unknown,
  [before, after, late]: readonly (readonly Move[])[],
): void {
  const [tidied, untouched] = [true, false].map((isTidied) => {
    const { all, server } = world(make());
    party(all, doings, before ?? []);
    meet([server, ...all]);
    if (isTidied) tidy(server.doc, day(0));
    // New sessions: what was done before cannot be taken back any more.
    const now = all.map((replica, who) => ({ doc: replica.doc, edits: anew(replica, who) }));
    party(now, doings, after ?? []);
    for (const replica of now) if (isTidied) hear(server, replica);
    if (isTidied) cleanedUp += tidy(server.doc, day(KEPT_FOR_DAYS)).cleaned;
    party(now, doings, late ?? []);
    meet([server, ...now]);
    const readings = [server, ...now].map(({ doc }) => read(doc));
    for (const reading of readings) expect(reading).toEqual(readings[0]);
    return readings[0];
  });
  expect(tidied).toEqual(untouched);
}

const barOf = (doc: Y.Doc, n: number): string => {
  const bars = readSong(doc).song.sections.flatMap((section) => section.bars);
  return bars[n % Math.max(1, bars.length)]?.id ?? 'nothing';
};

describe('tidying up among people', () => {
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
  const lists = fc.tuple(moves(3, 40), moves(3, 15), moves(3, 15));

  it('is noticed by nobody who was away for less than its time', () => {
    fc.assert(
      fc.property(lists, (list) => {
        worlds(
          () => songCrowd(3),
          ({ doc }, who) => songEdits(doc, 10 + who),
          DOINGS,
          readSong,
          list,
        );
      }),
      { numRuns: 60 },
    );
    fc.assert(
      fc.property(lists, (list) => {
        worlds(
          () => bandCrowd(3),
          ({ doc }, who) => bandEdits(doc, 10 + who),
          [...BANDING, ...UNDOING],
          readBand,
          list,
        );
      }),
      { numRuns: 40 },
    );
    expect(cleanedUp).toBeGreaterThan(0);
  });

  it('breaks nothing for anybody, however long they were away and whatever they take back', () => {
    fc.assert(
      fc.property(moves(3, 40), moves(3, 30), (before, late) => {
        const { all, server } = world(songCrowd(3));
        party(all, DOINGS, before);
        for (const replica of all) hear(server, replica);
        const reading = readSong(server.doc);
        tidy(server.doc, day(0));
        tidy(server.doc, day(KEPT_FOR_DAYS));
        expect(readSong(server.doc)).toEqual(reading);
        party(all, [...DOINGS, ...UNDOING, ...UNDOING], late);
        meet([server, ...all]);
        for (const { doc } of all) expect(readSong(doc)).toEqual(readSong(server.doc));
        const { song, broken } = readSong(server.doc);
        expect(checkSong(song)).toEqual([]);
        expect(broken.filter((sentence) => !sentence.endsWith('lies behind the end of its bar'))).toEqual([]);
      }),
      { numRuns: 100 },
    );
  });
});
