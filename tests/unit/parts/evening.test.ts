import { describe, expect, it } from 'vitest';
import { itemAt } from '@/lib/base';
import { eveningOnPaper } from '@/lib/parts';
import { EveningModel, eveningOfSet, setSongOf, songSeconds } from '@/lib/sets';
import { type SetEntry, type SetList, type Song, USUAL_ENTRY } from '@/lib/song';
import { demoBand } from '@/server/demo';

const { band, songs } = await demoBand();
const byId = new Map(songs.map((song) => [song.id, song]));
const entry = (id: string, song: Song, fields: Partial<SetEntry> = {}): SetEntry => ({
  ...USUAL_ENTRY,
  id,
  songId: song.id,
  ...fields,
});
const setOf = (entries: readonly SetEntry[]): SetList => ({
  id: 'set',
  name: 'Saturday',
  targetSeconds: null,
  pairs: [],
  entries,
});

describe('an evening on paper', () => {
  const [first, second] = [itemAt(songs, 0), itemAt(songs, 1)];

  it('counts link bars, talk and breaks once each', () => {
    const joined = setOf([
      entry('a', first, { linkBars: 4, talkSeconds: 15 }),
      entry('b', first, { breakAfter: true }),
      entry('c', second, { talkSeconds: 30 }),
    ]);
    const paper = eveningOnPaper(band, joined, byId);
    // Worked by hand: four bars of three quarters at the waltz's tempo link it to itself, and nobody changes anything.
    const link = (4 * 3 * 60) / (first.tempo ?? 0);
    const length = songSeconds(first);
    const starts = paper.sets.map((set) => set.songs.map(({ startSeconds }) => startSeconds));
    expect(starts[0]?.[0]).toBe(15);
    expect(starts[0]?.[1]).toBeCloseTo(15 + length + link, 6);
    expect(starts[1]?.[0]).toBe(30);
    expect(paper.sets[0]?.seconds).toBeCloseTo(15 + 2 * length + link, 6);
    expect(paper.seconds).toBeCloseTo(15 + 2 * length + link + 30 + songSeconds(second), 6);
    expect(paper.sets.flatMap((set) => set.songs.map(({ following }) => following.kind))).toEqual([
      'start',
      'no stop',
      'break',
    ]);
  });

  it('runs by the same clock as the page of the set', () => {
    const set = setOf([entry('a', first, { linkBars: 2 }), entry('b', second), entry('c', first)]);
    const evening = eveningOfSet(
      set,
      band,
      songs.map((song) => setSongOf(song, band.players)),
    );
    const { seconds } = new EveningModel(evening).costsOf(['a', 'b', 'c']);
    expect(eveningOnPaper(band, set, byId).seconds).toBeCloseTo(seconds, 6);
  });

  it('a song that is gone keeps its place', () => {
    const paper = eveningOnPaper(
      band,
      setOf([entry('a', first), entry('b', second)]),
      new Map([[second.id, second]]),
    );
    expect(paper.sets[0]?.songs.map(({ number, song }) => [number, song?.id])).toEqual([
      [1, undefined],
      [2, second.id],
    ]);
    expect(eveningOnPaper(band, setOf([]), byId).sets).toEqual([]);
  });
});
