import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { itemAt, must } from '@/lib/base';
import { BandEdits, newBandDocument, readBand } from '@/lib/document';
import { type Band, NEW_BAND, USUAL_ENTRY, USUAL_SONG } from '@/lib/song';

const bandOf = (count: number, breakAfter = -1): Band => ({
  ...NEW_BAND,
  id: 'b',
  name: 'Weir Street',
  players: [],
  songs: Array.from({ length: count }, (_, i) => ({ ...USUAL_SONG, id: `s${i}`, title: `Song ${i}` })),
  sets: [
    {
      id: 'set',
      name: 'Saturday',
      targetSeconds: null,
      pairs: [],
      entries: Array.from({ length: count }, (_, i) => ({
        ...USUAL_ENTRY,
        id: `e${i}`,
        songId: `s${i}`,
        breakAfter: i === breakAfter,
      })),
    },
  ],
});

function editsOf(doc: Y.Doc, name: string): BandEdits {
  let count = 0;
  return new BandEdits(doc, {
    by: null,
    now: () => 0,
    makeId: () => {
      count += 1;
      return `${name}${count}`;
    },
  });
}
const entries = (doc: Y.Doc) => must(readBand(doc).band.sets[0], 'the set').entries.map(({ id }) => id);
const ordersOf = (count: number) =>
  fc.shuffledSubarray(
    Array.from({ length: count }, (_, i) => `e${i}`),
    { minLength: count, maxLength: count },
  );

describe('a set put in order', () => {
  it('stands as wanted after one step, and as before once it is taken back', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 12 }).chain((count) => fc.tuple(ordersOf(count), ordersOf(count))),
        ([first, second]) => {
          const doc = newBandDocument(bandOf(first.length));
          const edits = editsOf(doc, 'a');
          expect(edits.arrangeSet('set', first).ok).toBe(true);
          expect(entries(doc)).toEqual(first);
          let updates = 0;
          doc.on('update', () => {
            updates += 1;
          });
          expect(edits.arrangeSet('set', second).ok).toBe(true);
          expect(entries(doc)).toEqual(second);
          expect(updates).toBeLessThanOrEqual(1);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('keeps entries that are not named behind those before them, and passes over what is gone', () => {
    const doc = newBandDocument(bandOf(4));
    editsOf(doc, 'a').arrangeSet('set', ['e3', 'gone', 'e0', 'e2', 'e3']);
    expect(entries(doc)).toEqual(['e3', 'e0', 'e1', 'e2']);
    expect(editsOf(doc, 'a').arrangeSet('no set', []).ok).toBe(false);
  });

  it('leaves breaks at their places', () => {
    const doc = newBandDocument(bandOf(4, 1));
    editsOf(doc, 'a').arrangeSet('set', ['e3', 'e2', 'e1', 'e0']);
    const breaks = must(readBand(doc).band.sets[0], 'the set').entries.map(({ breakAfter }) => breakAfter);
    expect(breaks).toEqual([false, true, false, false]);
  });

  it('two people at once lose and double nothing, and see the same', () => {
    fc.assert(
      fc.property(ordersOf(7), ordersOf(7), fc.nat(6), fc.nat(6), (mine, yours, moved, to) => {
        const docs = [newBandDocument(bandOf(7)), new Y.Doc()] as const;
        const meet = () => {
          Y.applyUpdate(docs[1], Y.encodeStateAsUpdate(docs[0]));
          Y.applyUpdate(docs[0], Y.encodeStateAsUpdate(docs[1]));
        };
        meet();
        editsOf(docs[0], 'a').arrangeSet('set', mine);
        const theirs = editsOf(docs[1], 'b');
        theirs.arrangeSet('set', yours);
        theirs.moveInSet(itemAt(yours, moved), to);
        theirs.addToSet('set', 's1', 0);
        meet();
        expect(entries(docs[0])).toEqual(entries(docs[1]));
        expect(entries(docs[0])).toHaveLength(8);
        expect(new Set(entries(docs[0]))).toEqual(new Set([...mine, 'b1']));
      }),
      { numRuns: 60 },
    );
  });

  it('several songs are taken out in one step, and come back in one', () => {
    const doc = newBandDocument(bandOf(5));
    const edits = editsOf(doc, 'a');
    expect(edits.removeFromSet('e1', 'gone', 'e3').ok).toBe(true);
    expect(entries(doc)).toEqual(['e0', 'e2', 'e4']);
    edits.undo();
    expect(entries(doc)).toEqual(['e0', 'e1', 'e2', 'e3', 'e4']);
    expect(edits.removeFromSet('gone').ok).toBe(false);
    expect(edits.removeFromSet().ok).toBe(false);
  });
});
