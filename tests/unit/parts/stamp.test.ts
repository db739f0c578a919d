import { describe, expect, it } from 'vitest';
import { arrange, PRINT_WORD_SIZE, type Sheet, sheetsOf, widthInEms } from '../../../lib/parts';
import { hashOf } from '../../../lib/parts/sheet/stamp';
import type { Song } from '../../../lib/song';
import { demoBand } from '../../../server/demo';

const { band, songs } = await demoBand();

function printed(song: Song, asOf: string): readonly Sheet[] {
  const [player] = band.players;
  if (player === undefined) throw new Error('no player');
  return sheetsOf({
    arrangement: arrange(song, PRINT_WORD_SIZE, null),
    band,
    player,
    paper: 'a4',
    asOf,
    measure: (text, size) => widthInEms(text) * size,
  });
}

describe('the stamp of a part', () => {
  const [song] = songs;
  if (song === undefined) throw new Error('no song');

  it('is the same on all its pages, whenever they are made, and stands in their feet', () => {
    const today = printed(song, '1 May');
    const later = printed(song, '2 May');
    const stamps = new Set([...today, ...later].map(({ stamp }) => stamp));
    expect(stamps.size).toBe(1);
    const [stamp = ''] = stamps;
    for (const { drawing } of today)
      expect(drawing.filter((one) => one.kind === 'text' && one.text.includes(stamp))).toHaveLength(1);
  });

  it('is another when a word, a chord or a beat of it is', () => {
    const before = printed(song, '')[0]?.stamp;
    const [chord, ...chords] = song.chords;
    const [note, ...notes] = song.notes;
    if (!chord || !note) throw new Error('nothing to change');
    const changed: readonly Song[] = [
      { ...song, title: `${song.title}.` },
      { ...song, chords: [{ ...chord, symbol: 'Bb' }, ...chords] },
      { ...song, notes: [{ ...note, offset: note.offset + 120, ticks: note.ticks - 120 }, ...notes] },
    ];
    for (const one of changed) expect(printed(one, '')[0]?.stamp).not.toBe(before);
  });

  it('is made by FNV-1a', () => {
    // Source, from memory: RFC 9923, its test vectors.
    expect(hashOf('')).toBe(0x811c9dc5);
    expect(hashOf('a')).toBe(0xe40c292c);
    expect(hashOf('foobar')).toBe(0xbf9cf968);
  });
});
