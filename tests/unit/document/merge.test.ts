import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { itemAt } from '@/lib/base';
import { readBand, readSong, watchSong } from '@/lib/document';
import { bandSchema, checkSong, type Song, songSchema } from '@/lib/song';
import {
  ANSWERING,
  act,
  BANDING,
  bandCrowd,
  hear,
  keysOf,
  MOVING_IN_BAND,
  MOVING_PASSES,
  type Move,
  meet,
  moves,
  type Replica,
  SHAPING,
  songCrowd,
  UNDOING,
} from './crowd';
import { SONG } from './sample';

const EVERYTHING = [...SHAPING, ...ANSWERING, ...UNDOING];
const PEOPLE = fc.integer({ min: 2, max: 4 });

/** The same document under new readers: nothing is remembered from edit to edit. */
function afresh(doc: Y.Doc): Y.Doc {
  const copy = new Y.Doc();
  Y.applyUpdate(copy, Y.encodeStateAsUpdate(doc));
  return copy;
}

/** Edits by several people, who hear of each other now and then, and in the end of everything. */
function party<E>(
  all: readonly Replica<E>[],
  doings: Parameters<typeof act<E>>[1],
  list: readonly Move[],
  after: (replica: Replica<E>) => void,
): void {
  for (const move of list) {
    const who = itemAt(all, move.who % all.length);
    if (move.c % 5 === 0) hear(who, itemAt(all, move.a % all.length));
    act(who, doings, move);
    after(who);
  }
  meet(all);
}

describe('people who edit at once', () => {
  it('read one and the same valid song in the end, and a valid one all along', () => {
    fc.assert(
      fc.property(PEOPLE, moves(4, 40), (people, list) => {
        const all = songCrowd(people);
        const watched: Song[] = [];
        watchSong(itemAt(all, 0).doc, (reading) => watched.push(reading.song));
        party(all, EVERYTHING, list, ({ doc }) => expect(checkSong(readSong(doc).song)).toEqual([]));
        const [first, ...others] = all.map(({ doc }) => readSong(doc));
        for (const other of others) expect(other).toEqual(first);
        expect(first).toEqual(readSong(afresh(itemAt(all, 0).doc)));
        expect(first?.song).toEqual(songSchema.parse(first?.song));
        expect(checkSong(first?.song ?? SONG)).toEqual([]);
        if (watched.length > 0) expect(watched.at(-1)).toBe(first?.song);
      }),
      { numRuns: 150 },
    );
  });

  it('read one and the same valid band in the end', () => {
    fc.assert(
      fc.property(PEOPLE, moves(4, 40), (people, list) => {
        const all = bandCrowd(people);
        party(all, [...BANDING, ...UNDOING], list, ({ doc }) => {
          const { band, broken } = readBand(doc);
          expect(broken).toEqual([]);
          const songs = new Set(band.songs.map((song) => song.id));
          const ids = [band.players, band.songs, band.sets, band.sets.flatMap((set) => set.entries)];
          for (const list of ids) expect(new Set(list.map(({ id }) => id)).size).toBe(list.length);
          for (const set of band.sets) for (const entry of set.entries) expect(songs).toContain(entry.songId);
        });
        const [first, ...others] = all.map(({ doc }) => readBand(doc));
        for (const other of others) expect(other).toEqual(first);
        expect(first).toEqual(readBand(afresh(itemAt(all, 0).doc)));
        expect(first?.band).toEqual(bandSchema.parse(first?.band));
      }),
      { numRuns: 120 },
    );
  });

  it('lose and double nothing by moving', () => {
    fc.assert(
      fc.property(PEOPLE, moves(4, 30), (people, list) => {
        const all = songCrowd(people);
        party(all, MOVING_PASSES, list, () => {});
        const { passes } = readSong(itemAt(all, 1).doc).song;
        expect(passes.map((pass) => pass.id).sort()).toEqual(SONG.passes.map((pass) => pass.id).sort());
        const bands = bandCrowd(people);
        party(bands, MOVING_IN_BAND, list, () => {});
        const { band } = readBand(itemAt(bands, 1).doc);
        expect(band.sets[0]?.entries.map((entry) => entry.id).sort()).toEqual(['e1', 'e2', 'e3']);
        expect(band.songs.map((song) => song.id).sort()).toEqual(['hay', 'late', 'mill']);
      }),
      { numRuns: 60 },
    );
  });

  it('keep what is settled, whatever happens to bars, words, notes and passes', () => {
    fc.assert(
      fc.property(PEOPLE, moves(4, 30), (people, list) => {
        const all = songCrowd(people);
        party(all, SHAPING, list, ({ doc }) => expect(readSong(doc).song.settled).toEqual(SONG.settled));
        expect(readSong(itemAt(all, 0).doc).song.settled).toEqual(SONG.settled);
      }),
      { numRuns: 60 },
    );
  });
});

describe('undo among people', () => {
  it('alone: everything undone is the song from before, everything done again is the song from after', () => {
    fc.assert(
      fc.property(moves(1, 25), (list) => {
        const all = songCrowd(1);
        const { doc, edits } = itemAt(all, 0);
        for (const move of list) act({ doc, edits }, [...SHAPING, ...ANSWERING], move);
        const { song } = readSong(doc);
        while (edits.canUndo) edits.undo();
        expect(readSong(doc).song).toEqual(SONG);
        while (edits.canRedo) edits.redo();
        expect(readSong(doc).song).toEqual(song);
      }),
      { numRuns: 80 },
    );
  });

  it('never undoes another’s edit, whoever made the thing that was edited', () => {
    fc.assert(
      fc.property(moves(1, 15), moves(1, 15), fc.boolean(), (mine, theirs, again) => {
        const all = songCrowd(2);
        const [a, b] = [itemAt(all, 0), itemAt(all, 1)];
        for (const move of mine) act(a, [...SHAPING, ...ANSWERING], move);
        meet(all);
        const before = keysOf(b.doc);
        for (const move of theirs) act(b, [...SHAPING, ...ANSWERING], move);
        const after = keysOf(b.doc);
        meet(all);
        while (a.edits.canUndo) a.edits.undo();
        if (again) while (a.edits.canRedo) a.edits.redo();
        meet(all);
        const now = keysOf(b.doc);
        for (const key of new Set([...before.keys(), ...after.keys()])) {
          if (before.get(key) !== after.get(key)) expect([key, now.get(key)]).toEqual([key, after.get(key)]);
        }
        expect(readSong(a.doc)).toEqual(readSong(b.doc));
        expect(checkSong(readSong(a.doc).song)).toEqual([]);
      }),
      { numRuns: 150 },
    );
  });
});
