import { describe, expect, it } from 'vitest';
import { chordsAloud } from '@/app/board/chords-aloud';
import { itemAt } from '@/lib/base';
import { arrange, chordNaming } from '@/lib/parts';
import type { Song } from '@/lib/song';
import { QUARTER, tinySong } from '../spaces/tiny-song';

describe('the chords of a line, heard', () => {
  const bare = tinySong(
    [{ name: 'Verse', voices: [{ part: 'lead', notes: '4 4 4 3', words: ['oh now and then'] }], bars: 4 }],
    { passes: [{ stanza: 1 }] },
  );
  const [section] = bare.sections;
  if (!section) throw new Error('no section');
  const bars = section.bars.map((bar, i) =>
    i === 2 ? { ...bar, key: { tonic: 'A', mode: 'major' } as const } : bar,
  );
  const chord = (i: number, symbol: string, offset = 0) => ({
    id: `${i} ${offset}`,
    barId: itemAt(bars, i).id,
    offset,
    symbol,
  });
  /** Two bars in G, then two in A. */
  const song: Song = {
    ...bare,
    sections: [{ ...section, bars }],
    chords: [chord(0, 'G'), chord(1, 'C'), chord(1, 'D', 2 * QUARTER), chord(2, 'A'), chord(3, 'E')],
  };
  const arrangement = arrange(song);
  const segments = arrangement.passes.flatMap(({ lines }) => lines.flatMap((line) => line.segments));
  const heard = (capo: number, way: 'shapes' | 'degrees') =>
    chordsAloud({ segments }, chordNaming(arrangement.timeline, capo, way));

  it('say where the key changes, before the chord that comes with it', () => {
    expect(heard(0, 'shapes')).toBe('Chords: G, C, D, now in A, A, E.');
  });

  it('are numbered in the key in which each stands', () => {
    // By hand: in G the fourth and fifth are C and D; in A the fifth is E.
    expect(heard(0, 'degrees')).toBe('Chords: 1, 4, 5, now in A, 1, 5.');
  });

  it('are nothing where none is written', () => {
    expect(chordsAloud({ segments: [] }, chordNaming(arrangement.timeline, 0))).toBe('');
  });
});
