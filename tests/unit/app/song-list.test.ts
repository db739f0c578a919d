import { describe, expect, it } from 'vitest';
import { copyTitle, findSongs, sortSongs } from '../../../app/band/song-list';
import { USUAL_SONG } from '../../../lib/song';

const song = (id: string, title: string) => ({ ...USUAL_SONG, id, title });
const songs = [song('a', 'Mill Pond'), song('b', 'Über the Hill'), song('c', 'a Crooked Gate')];
const ids = (list: readonly { readonly id: string }[]) => list.map(({ id }) => id).join('');

// Common practice, no source: worked out by hand.
describe('the list of songs', () => {
  it.each([
    ['', 'abc'],
    ['po', 'a'],
    ['uber', 'b'],
    ['hill ub', 'b'],
    ['rook', 'c'],
    ['oo', ''],
    ['nothing', ''],
  ])('finds “%s”', (search, expected) => {
    expect(ids(findSongs(songs, search))).toBe(expected);
  });

  it('sorts by title, key and date, what is not known last', () => {
    const key = (tonic: 'A' | 'G') => ({ tonic, mode: 'major' }) as const;
    const facts = { b: { key: key('G'), lastAt: 5 }, c: { key: key('A'), lastAt: 9 } };
    expect(ids(sortSongs(songs, 'the band’s order', facts))).toBe('abc');
    expect(ids(sortSongs(songs, 'title', facts))).toBe('cab');
    expect(ids(sortSongs(songs, 'key', facts))).toBe('cba');
    expect(ids(sortSongs(songs, 'last settled', facts))).toBe('cba');
  });

  it('gives a copy a title that no song has', () => {
    expect(copyTitle('Mill Pond', songs)).toBe('Mill Pond, copy');
    expect(copyTitle('Mill Pond', [...songs, song('d', 'Mill Pond, copy')])).toBe('Mill Pond, copy 2');
  });
});
