import { beforeAll, describe, expect, it } from 'vitest';
import { itemAt } from '@/lib/base';
import { eveningOfSet, holdAtPlace, orderSet, placeOfHold, type SetSong, setSongOf } from '@/lib/sets';
import { type Band, type SetEntry, type SetList, USUAL_ENTRY } from '@/lib/song';
import { demoBand } from '@/server/demo';

let band: Band;
let songs: readonly SetSong[];
beforeAll(async () => {
  const demo = await demoBand();
  band = demo.band;
  songs = demo.songs.map((song) => setSongOf(song, demo.band.players));
});

const entry = (id: string, song: number, fields: Partial<SetEntry> = {}): SetEntry => ({
  ...USUAL_ENTRY,
  id,
  songId: itemAt(songs, song).id,
  ...fields,
});
const setOf = (entries: readonly SetEntry[], fields: Partial<SetList> = {}): SetList => ({
  id: 'set',
  name: 'Saturday',
  targetSeconds: 900,
  pairs: [],
  ...fields,
  entries,
});

describe('a set of the band as an evening', () => {
  it('takes talk, holds, breaks, medleys and pairs from the set, strength and safety from the band', () => {
    const [first, second] = [itemAt(songs, 0).id, itemAt(songs, 1).id];
    const remark = { text: 'too fast', by: null, at: 1 };
    const said: Band = {
      ...band,
      songs: band.songs.map((song, i) => ({ ...song, energy: i + 2 })),
      remarks: [
        { ...remark, id: 'r1', songId: first, solid: false },
        { ...remark, id: 'r2', songId: first, solid: true },
        { ...remark, id: 'r3', songId: second, solid: false },
      ],
    };
    const set = setOf(
      [
        entry('a', 0, { talkSeconds: 20, hold: 'first' }),
        entry('b', 1, { linkBars: 2 }),
        entry('c', 0, { breakAfter: true }),
        entry('d', 1, { hold: 'before the break' }),
      ],
      { pairs: [{ songs: [first, second], wanted: 'apart' }] },
    );
    const evening = eveningOfSet(set, said, songs);
    expect(evening).toMatchObject({ sets: [3, 1], joined: [['b', 'c']], near: [], targetSeconds: 900 });
    // Each of two entries from each of two, and each song's two entries from one another.
    expect(evening.apart).toHaveLength(4 + 2);
    expect(evening.apart).toContainEqual(['a', 'c']);
    expect(evening.songs.map(({ place }) => place)).toEqual([0, null, null, 2]);
    expect(evening.songs.map(({ shaky }) => shaky)).toEqual([false, true, false, true]);
    expect(evening.songs.map(({ energy }) => energy)).toEqual([2, 3, 2, 3]);
    expect(evening.songs[0]?.talkSeconds).toBe(20);
    // Two link bars of four quarters, at the song's own tempo.
    const { seconds, tempo } = itemAt(songs, 1);
    expect(evening.songs[1]?.seconds).toBeCloseTo(seconds + (8 * 60) / (tempo ?? 100), 6);
    expect(eveningOfSet(setOf([]), band, songs)).toMatchObject({ songs: [], sets: [] });
  });

  it('a song that is not at hand counts for nothing', () => {
    const evening = eveningOfSet(setOf([entry('a', 0), entry('b', 1)]), band, []);
    expect(evening.songs.every(({ seconds }) => seconds === 0)).toBe(true);
    expect(orderSet(evening).ok).toBe(true);
  });

  it('holds in words and places are the same thing', () => {
    for (const sets of [[1], [4], [3, 2], [2, 2, 2]]) {
      const count = sets.reduce((sum, each) => sum + each, 0);
      for (let place = 0; place < count; place++) {
        expect(placeOfHold(holdAtPlace(place, sets), sets)).toBe(place);
      }
    }
    expect(placeOfHold('before the break', [3, 2])).toBe(2);
    expect(placeOfHold('before the break', [5])).toBe(4);
    expect(placeOfHold(null, [5])).toBeNull();
  });
});
