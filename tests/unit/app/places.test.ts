import { describe, expect, it } from 'vitest';
import {
  acrossFrom,
  beatInWords,
  gridStep,
  nextPlace,
  placeAt,
  placesOf,
  rowBeyond,
} from '../../../app/board/places';
import { must } from '../../../lib/base';
import { arrange } from '../../../lib/parts';
import type { Song } from '../../../lib/song';
import { tinySong } from '../spaces/tiny-song';

/** A pickup of a beat, then two bars of four with a breath between them, sung twice. */
const song: Song = (() => {
  const tiny = tinySong(
    [
      {
        name: 'Verse',
        pickup: 1,
        voices: [
          { part: 'lead', notes: '1 1 1 1, z1 1 1 1 1', words: ['and one two three four five six se-ven'] },
        ],
      },
    ],
    { passes: [{}, {}] },
  );
  return {
    ...tiny,
    chords: [
      { id: 'a', barId: 's1b1', offset: 0, symbol: 'G' },
      { id: 'b', barId: 's1b1', offset: 480, symbol: 'C' },
    ],
  };
})();
const arrangement = arrange(song);
const places = placesOf(arrangement);
const wordAt = (noteId: string, passId = 'p1') =>
  must(placeAt(places, { kind: 'word', passId, noteId }), noteId);

describe('places of a song that can be chosen', () => {
  it('are its words, and its beats with what stands between them', () => {
    const inFirst = places.chords.filter(({ passId }) => passId === 'p1');
    expect(inFirst.slice(0, 4).map(({ tick, chord }) => [tick, chord?.symbol ?? null])).toEqual([
      [0, null],
      [960, 'G'],
      [1440, 'C'],
      [1920, null],
    ]);
    expect(
      places.words
        .filter(({ passId }) => passId === 'p2')
        .map(({ text }) => text)
        .join(' '),
    ).toBe('and one two three four five six se');
  });

  it('follow one another over the ends of lines and passes', () => {
    const first = places.words[0];
    expect(first && nextPlace(places, first, -1)).toBeNull();
    const last = must(
      places.words.findLast(({ passId }) => passId === 'p1'),
      'last',
    );
    expect(nextPlace(places, last, 1)).toMatchObject({ passId: 'p2', text: 'and' });
  });

  it('have the nearest of the other row above them, and the next line beyond', () => {
    expect(acrossFrom(places, wordAt('s1v1n3'))).toMatchObject({ kind: 'chord', tick: 1920 });
    expect(rowBeyond(places, wordAt('s1v1n1'), 1)).toMatchObject({ kind: 'chord' });
    expect(rowBeyond(places, wordAt('s1v1n1'), -1)).toBeNull();
    expect(rowBeyond(places, wordAt('s1v1n5'), -1)).toMatchObject({ kind: 'word', text: 'and' });
  });
});

describe('the grid', () => {
  it('has half beats, over barlines and back, and out of a pickup', () => {
    expect([0, 480, 960].map((tick) => gridStep(arrangement, tick, 1))).toEqual([480, 960, 1440]);
    expect([960, 1000, 4800].map((tick) => gridStep(arrangement, tick, -1))).toEqual([480, 960, 4320]);
  });

  it('has thirds of a beat in 6/8', () => {
    const jig = arrange(
      tinySong([{ name: 'Verse', voices: [{ part: 'lead', notes: '1.5 1.5' }] }], {
        meter: '6/8',
        passes: [{}],
      }),
    );
    expect([0, 480, 960].map((tick) => gridStep(jig, tick, 1))).toEqual([480, 960, 1440]);
    expect(beatInWords(jig, 1920)).toBe('bar 1, beat 2 and a third');
  });

  it('is named as players count it: a pickup is the end of a bar', () => {
    expect(beatInWords(arrangement, 0)).toBe('the pickup, beat 4');
    expect(beatInWords(arrangement, 960 + 480)).toBe('bar 1, beat 1 and a half');
    expect(beatInWords(arrangement, 960 + 3840 + 240)).toBe('bar 2, beat 1 and a quarter');
  });
});
