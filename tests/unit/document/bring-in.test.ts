import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BandEdits, newBandDocument, readBand } from '@/lib/document';
import { type Band, NEW_BAND, type SetList, USUAL_ENTRY, USUAL_SONG } from '@/lib/song';
import { somebody } from '../players/somebody';

const OWN = ['s0', 's1', 's2', 's3'];
/** Songs that have just come in stand in the band's list already; the last never does. */
const IN = ['s2', 's3', 'nowhere'];

const band: Band = {
  ...NEW_BAND,
  id: 'b',
  name: 'Weir Street',
  players: [somebody('ann'), somebody('bo', { instruments: ['fiddle'] })],
  songs: OWN.map((id, i) => ({ ...USUAL_SONG, id, title: `Song ${i}` })),
  sets: [
    {
      id: 'own',
      name: 'Saturday',
      targetSeconds: 900,
      pairs: [{ songs: ['s0', 's1'], wanted: 'apart' }],
      entries: [
        { ...USUAL_ENTRY, id: 'e0', songId: 's0' },
        { ...USUAL_ENTRY, id: 'e1', songId: 's1' },
      ],
    },
  ],
};

const theirSets: fc.Arbitrary<readonly SetList[]> = fc
  .array(fc.record({ songs: fc.array(fc.constantFrom(...IN), { maxLength: 6 }), near: fc.boolean() }), {
    maxLength: 3,
  })
  .map((sets) =>
    sets.map(({ songs, near }, s) => ({
      id: `set-${s}`,
      name: `Their set ${s}`,
      targetSeconds: null,
      pairs: near ? [{ songs: ['s2', 's3'], wanted: 'near' as const }] : [],
      entries: songs.map((songId, i) => ({ ...USUAL_ENTRY, id: `e-${s}-${i}`, songId, note: `note ${i}` })),
    })),
  );

// What is right here is said by what was put in, not by the edit: the band before, with the sets behind its own.
describe('what comes into a band from a file', () => {
  it('changes nothing that the band has, goes in one step, and out again in one', () => {
    fc.assert(
      fc.property(theirSets, fc.integer({ min: 1, max: 5 }), (sets, energy) => {
        const doc = newBandDocument(band);
        const edits = new BandEdits(doc, { by: 'ann', now: () => 0, makeId: () => 'never asked for' });
        const before = readBand(doc).band;
        let updates = 0;
        doc.on('update', () => {
          updates += 1;
        });
        const entries = [
          { ...USUAL_SONG, id: 's3', title: 'Another title', energy, archived: true },
          { ...USUAL_SONG, id: 'nowhere', title: 'Nowhere', energy },
        ];
        const done = edits.bringIn({ entries, sets });
        expect(done).toMatchObject({ ok: true, value: sets.map(({ id }) => id) });
        expect(updates).toBe(1);
        const after = readBand(doc).band;
        expect({ ...after, songs: [], sets: [] }).toEqual({ ...before, songs: [], sets: [] });
        // Titles are the songs' own word.
        expect(after.songs).toEqual(
          before.songs.map((song) => (song.id === 's3' ? { ...song, energy, archived: true } : song)),
        );
        const isHere = ({ songId }: { readonly songId: string }) => songId !== 'nowhere';
        expect(after.sets).toEqual([
          ...before.sets,
          ...sets.map((set) => ({ ...set, entries: set.entries.filter(isHere) })),
        ]);
        edits.undo();
        expect(readBand(doc).band).toEqual(before);
      }),
    );
  });

  it('is refused whole where it is no set list, with where it is not', () => {
    const doc = newBandDocument(band);
    const edits = new BandEdits(doc, { by: 'ann', now: () => 0, makeId: () => 'x' });
    const before = readBand(doc).band;
    const long = { id: 'long', name: 'x'.repeat(5000), targetSeconds: -4, pairs: [], entries: [] };
    const done = edits.bringIn({ entries: [], sets: [long] });
    expect(done.ok).toBe(false);
    expect(readBand(doc).band).toEqual(before);
  });
});
