import { describe, expect, test } from 'vitest';
import { lastOf, must } from '../../../lib/base';
import { offerFills } from '../../../lib/fills';
import { isTold } from '../../../lib/fills/held';
import { plainSetup } from '../../../lib/instruments';
import { writtenTimeline } from '../../../lib/song';
import { parseChord, pitchClassOf } from '../../../lib/theory';
import { generatedSong, offersIn, type Shorthand, SIX_BEATS, songOf, spaceIn, timelineOf } from './songs';

// Source of each rule: Common practice, no source.

const seeds = Array.from({ length: 20 }, (_, i) => i + 1);
const players = ['guitar', 'banjo', 'mandolin'] as const;

describe('how fills sit on the chords and the beat', () => {
  test('a walk over E7 before A goes up E, F sharp, G sharp', () => {
    const short: Shorthand = {
      key: 'A',
      meter: '3/4',
      chords: ['A', 'E7', 'A', 'A'],
      sung: [
        [0, 1, 1, 69],
        [0, 2, 1, 69],
        [0, 3, 1, 69],
        [2, 1, 3, 69],
        [3, 1, 3, 69],
      ],
    };
    const walks = offersIn(short, 'bass').filter((offer) => offer.family === 'walk');
    const played = walks.map((offer) => offer.notes.map((note) => pitchClassOf(note.midi)).join(' '));
    expect(played).toContain('4 6 8');
  });

  test.each(players)('the %s comes to rest on a beat', (instrument) => {
    for (const seed of seeds) {
      const short = generatedSong(seed);
      if (short.meter === '6/8' || short.meter === '2/2') continue;
      for (const offer of offersIn(short, instrument, 6)) {
        if (offer.family === 'bass run') continue;
        expect(offer.reasons.map((each) => each.rule)).not.toContain('ends off the beat');
      }
    }
  });

  test('in a jig no note of a low run cuts across the beat', () => {
    const short: Shorthand = {
      meter: '6/8',
      tempo: 150,
      chords: ['G', 'G', 'D', 'G', 'G'],
      sung: [
        [0, 1, 2, 67],
        [3, 1, 2, 67],
        [4, 1, 2, 67],
      ],
    };
    for (const instrument of ['guitar', 'bass'] as const)
      for (const offer of offersIn(short, instrument))
        for (const note of offer.notes.filter((each) => each.stroke !== null)) {
          const into = note.tick % 1440;
          expect([0, 480, 960]).toContain(into);
        }
  });

  test('a banjo pinch is thumb and middle', () => {
    let pinches = 0;
    for (const seed of seeds)
      for (const offer of offersIn(generatedSong(seed), 'banjo')) {
        const pinched = offer.notes.filter((note) => note.articulation === 'pinch');
        for (const tick of new Set(pinched.map((note) => note.tick))) {
          const pinch = pinched.filter((note) => note.tick === tick);
          pinches += 1;
          expect(pinch.map((note) => note.stroke)).toEqual(['thumb', 'middle']);
          expect(lastOf(pinch).string).toBe(1);
        }
      }
    expect(pinches).toBeGreaterThan(2);
  });

  test('D, A and C without F sharp tell D7 by its seventh; D and A alone do not', () => {
    const chord = must(parseChord('D7'), 'a chord');
    expect(isTold(chord, [50, 57, 60])).toBe(true);
    expect(isTold(chord, [50, 57])).toBe(false);
  });
});

describe('what is said', () => {
  test('a title says which note of the chord is landed on', () => {
    const offers = offersIn(SIX_BEATS, 'guitar', 30).filter((offer) => /^a run .* into G$/.test(offer.title));
    expect(offers.length).toBeGreaterThan(0);
    for (const offer of offers) expect(lastOf(offer.notes).midi % 12).toBe(7);
  });

  test('nobody sings in a tune without words', () => {
    const song = songOf(SIX_BEATS);
    const timeline = writtenTimeline({
      ...song,
      notes: song.notes.map((note) => ({ ...note, syllables: [] })),
    });
    for (const instrument of ['guitar', 'fiddle', 'bass'] as const) {
      const offers = offerFills({
        timeline,
        space: spaceIn(timeline),
        setup: plainSetup(instrument),
        rule: 'toward',
        spanMillimetres: null,
        comfortEighthsPerMinute: null,
        count: 12,
      });
      const said = offers.ok
        ? offers.value.flatMap((each) => [each.title, ...each.reasons.map((r) => r.detail)])
        : [];
      expect(said.length).toBeGreaterThan(0);
      expect(said.join('; ')).not.toMatch(/\b(sing|sings|singer|sung|voice)\b/);
    }
  });

  test('a break is no fill', () => {
    const timeline = timelineOf(SIX_BEATS);
    const offers = offerFills({
      timeline,
      space: { ...spaceIn(timeline), kind: 'instrumental' },
      setup: plainSetup('guitar'),
      rule: 'toward',
      spanMillimetres: null,
      comfortEighthsPerMinute: null,
      count: 5,
    });
    expect(offers.ok ? '' : offers.error.mend).toMatch(/ad lib/);
  });

  test('not every roll begins with a slur', () => {
    const rolls = seeds.flatMap((seed) =>
      offersIn(generatedSong(seed), 'banjo').filter((offer) => offer.family.endsWith('roll')),
    );
    const opens = rolls.filter((offer) => offer.notes[1]?.stroke === null);
    expect(opens.length / rolls.length).toBeLessThan(0.4);
  });
});
