import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import type { Result } from '@/lib/base';
import { KEPT_FOR_DAYS, newBandDocument, newSongDocument, readBand, readSong, tidy } from '@/lib/document';
import { checkSong } from '@/lib/song';
import { BAND, bandEdits, bar, SONG, songEdits } from './sample';
import { breaksNothing, unnoticedInBands, unnoticedInSongs } from './tidy-worlds';

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

describe('tidying up among people', () => {
  let cleanedUp = 0;
  const tell = (cleaned: number) => {
    cleanedUp += cleaned;
  };

  it('is noticed by nobody who was away for less than its time', () => {
    fc.assert(unnoticedInSongs(tell), { numRuns: 50 });
    fc.assert(unnoticedInBands(tell), { numRuns: 40 });
    expect(cleanedUp).toBeGreaterThan(0);
  });

  it('breaks nothing for anybody, however long they were away and whatever they take back', () => {
    fc.assert(breaksNothing(tell), { numRuns: 80 });
  });
});
