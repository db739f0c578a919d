import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { itemAt, lastOf, must } from '../../../lib/base';
import { distanceOf, MIN_DISTANCE, type Offer, type OfferRequest, offerFills } from '../../../lib/fills';
import { INSTRUMENTS, plainSetup, type Setup } from '../../../lib/instruments';
import { findSpaces } from '../../../lib/spaces';
import { parseChord, toneOf } from '../../../lib/theory';
import {
  FIVE_BEATS,
  FOUR_BEATS,
  generatedSong,
  offersFor,
  requestFor,
  type Shorthand,
  SIX_BEATS,
  timelineOf,
} from './songs';

const players = INSTRUMENTS.filter((name) => name !== 'voice');

const familiesOf = (offers: readonly Offer[]) => new Set(offers.map((offer) => offer.family));

describe('what each player is offered', () => {
  test.each(players)('the %s has clearly different ideas for four, five and six beats', (instrument) => {
    const least = instrument === 'guitar' || instrument === 'banjo' ? 5 : 3;
    for (const short of [FOUR_BEATS, FIVE_BEATS, SIX_BEATS]) {
      const offers = offersFor(requestFor(short, instrument));
      expect(familiesOf(offers).size).toBeGreaterThanOrEqual(least);
      expect(offers.map((offer) => offer.rank)).toEqual(offers.map((_, i) => i + 1));
    }
  });

  test('in songs of all kinds a space of four beats or more has as many families', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 100_000 }), fc.constantFrom(...players), (seed, instrument) => {
        const request = requestFor(generatedSong(seed), instrument, { count: 9 });
        if (request.space.beats < 4) return;
        const least = instrument === 'guitar' || instrument === 'banjo' ? 5 : 3;
        expect(familiesOf(offersFor(request)).size).toBeGreaterThanOrEqual(least);
      }),
      { numRuns: 40 },
    );
  });

  test('over one chord that stays, bass runs also turn', () => {
    const still = requestFor({ ...SIX_BEATS, chords: ['G', 'G', 'G', 'G', 'G'] }, 'guitar', { count: 30 });
    const titles = offersFor(still)
      .filter((offer) => offer.family === 'bass run')
      .map((offer) => offer.title);
    expect(titles.some((title) => / (up and down|down and up)/.test(title))).toBe(true);
  });

  test('the guitar has its rolls, a bass run and runs; the banjo its four rolls', () => {
    const guitar = familiesOf(offersFor(requestFor(SIX_BEATS, 'guitar')));
    for (const family of [
      'forward roll',
      'backward roll',
      'forward-reverse roll',
      'bass run',
      'run up',
      'run down',
    ])
      expect(guitar).toContain(family);
    const banjo = familiesOf(offersFor(requestFor(SIX_BEATS, 'banjo')));
    for (const family of ['forward roll', 'backward roll', 'forward-reverse roll', 'alternating thumb roll'])
      expect(banjo).toContain(family);
  });

  test('the best of each family stands before any second one, and those come best first', () => {
    const offers = offersFor(requestFor(SIX_BEATS, 'guitar', { count: 20 }));
    const firstOnes = familiesOf(offers).size;
    expect(familiesOf(offers.slice(0, firstOnes)).size).toBe(firstOnes);
    const scores = offers.map((offer) => offer.score);
    expect(scores.slice(0, firstOnes)).toEqual(scores.slice(0, firstOnes).toSorted((a, b) => b - a));
    expect(scores.slice(firstOnes)).toEqual(scores.slice(firstOnes).toSorted((a, b) => b - a));
  });

  test('the count is kept', () => {
    expect(offersFor(requestFor(SIX_BEATS, 'guitar', { count: 3 }))).toHaveLength(3);
    expect(offersFor(requestFor(SIX_BEATS, 'guitar', { count: 0 }))).toEqual([]);
  });

  test('plucked fills have slurs: every roll and most runs', () => {
    for (const instrument of ['guitar', 'banjo', 'resonator guitar'] as const) {
      const offers = offersFor(requestFor(SIX_BEATS, instrument, { count: 6 }));
      const slurred = offers.filter((offer) =>
        offer.notes.some((note) => ['hammer', 'pull', 'slide'].includes(note.articulation)),
      );
      expect(slurred.length).toBeGreaterThanOrEqual(4);
    }
  });

  test('the fiddle bows, long and slurred', () => {
    const offers = offersFor(requestFor(SIX_BEATS, 'fiddle'));
    const ways = new Set(offers.flatMap((offer) => offer.notes.map((note) => note.articulation)));
    expect(ways).toEqual(new Set(['bowed', 'slurred']));
  });
});

describe('tempo, capo, meter and chords', () => {
  test('in a fast song the grid is quarters, and nothing is faster than the player can', () => {
    const offers = offersFor(requestFor({ ...SIX_BEATS, tempo: 290 }, 'guitar'));
    expect(offers.length).toBeGreaterThanOrEqual(3);
    for (const offer of offers)
      for (const note of offer.notes.filter((each) => each.stroke !== null)) expect(note.tick % 960).toBe(0);
  });

  test('a player at ease with more is offered more notes', () => {
    const most = (comfortEighthsPerMinute: number) =>
      Math.max(
        ...offersFor(requestFor({ ...SIX_BEATS, tempo: 200 }, 'guitar', { comfortEighthsPerMinute })).map(
          (offer) => new Set(offer.notes.map((note) => note.tick)).size,
        ),
      );
    expect(most(600)).toBeGreaterThan(most(250));
  });

  test('with a capo the shapes move along: chords a step up with capo 2 are the same frets', () => {
    const plain = requestFor(SIX_BEATS, 'guitar');
    const up: Shorthand = {
      key: 'A',
      chords: ['A', 'D', 'A', 'E', 'A'],
      sung: SIX_BEATS.sung.map(([bar, beat, beats, midi]) => [bar, beat, beats, midi + 2] as const),
    };
    const setup: Setup = { ...plainSetup('guitar'), capo: 2 };
    const moved = requestFor(up, 'guitar', { setup });
    const shape = (request: OfferRequest, offset: number) =>
      offersFor(request)
        .filter((offer) => offer.family.endsWith('roll'))
        .slice(0, 3)
        .map((offer) =>
          offer.notes.map(({ tick, string, fret, midi }) => [tick, string, fret, midi - offset]),
        );
    expect(shape(moved, 2)).toEqual(shape(plain, 0));
  });

  test.each(['4/4', '3/4', '2/4', '2/2', '6/8'])('%s: offers for every player', (meter) => {
    const beats = { '4/4': 4, '3/4': 3, '2/4': 2, '2/2': 2, '6/8': 2 }[meter] ?? 4;
    const short: Shorthand = {
      meter,
      chords: ['G', 'G', 'C', 'D', 'G'],
      sung: [
        [0, 1, beats, 67],
        [4, 1, beats, 67],
      ],
    };
    for (const instrument of players)
      expect(offersFor(requestFor(short, instrument)).length).toBeGreaterThan(1);
  });

  test('notes follow the chords: a roll has only tones of the chord of the moment', () => {
    const request = requestFor(SIX_BEATS, 'guitar', { count: 30 });
    const rolls = offersFor(request).filter((offer) => /^an? [a-z-]+ roll on \d, \d, \d$/.test(offer.title));
    expect(rolls.length).toBeGreaterThan(2);
    for (const roll of rolls) {
      for (const [i, note] of roll.notes.entries()) {
        const after = roll.notes[i + 1];
        if (after?.stroke === null && after.string === note.string) continue;
        const placed = must(request.timeline.chordAt(note.tick), 'a chord');
        expect(toneOf(must(parseChord(placed.symbol), 'a chord that is read'), note.midi)).not.toBeNull();
      }
      expect(roll.reasons.map((each) => each.detail)).toContain('follows C and G');
    }
  });

  test('no chord, or none that can be read: the key note, and it is said', () => {
    for (const chords of [
      ['', '', '', '', ''],
      ['G', 'H??', 'H??', 'H??', 'G'],
    ]) {
      const offers = offersFor(requestFor({ ...SIX_BEATS, chords }, 'guitar'));
      expect(offers.length).toBeGreaterThanOrEqual(3);
      for (const offer of offers)
        expect(offer.reasons.map((each) => each.detail)).toContain('no chord here: plays on the key note');
    }
  });
});

describe('where the space leads', () => {
  test('a bass run leads by a step or less into the next chord and may use the guard; others stop before it', () => {
    const request = requestFor(SIX_BEATS, 'guitar', { count: 30 });
    const { space } = request;
    const offers = offersFor(request);
    const low = offers.filter((offer) => offer.family === 'bass run');
    expect(low.length).toBeGreaterThan(0);
    for (const offer of low) {
      const last = lastOf(offer.notes);
      if (offer.title.endsWith('to G')) {
        // It rests on the root of G, once G sounds: in the second bar of the space.
        expect(last.midi % 12).toBe(7);
        expect(last.tick).toBeGreaterThanOrEqual(2 * 3840);
        continue;
      }
      // D comes next: C, C sharp, E flat or E.
      expect([0, 1, 3, 4]).toContain(last.midi % 12);
      expect(last.tick + last.ticks).toBe(space.endTick);
    }
    expect(low.some((offer) => offer.title.endsWith('to D'))).toBe(true);
    for (const offer of offers.filter((each) => each.family !== 'bass run'))
      for (const note of offer.notes)
        expect(note.tick + note.ticks).toBeLessThanOrEqual(space.endTick - space.guardTicks);
  });

  test('a tag lick is worth more where the music closes', () => {
    const best = (request: OfferRequest) =>
      Math.max(
        ...offersFor({ ...request, count: 40 }).flatMap((offer) =>
          offer.family === 'tag lick' ? [offer.score] : [],
        ),
      );
    const inside = requestFor(SIX_BEATS, 'guitar');
    const timeline = timelineOf({ ...SIX_BEATS, sung: SIX_BEATS.sung.filter(([bar]) => bar < 2) });
    const closing = must(
      findSpaces(timeline).find((space) => space.kind === 'closing'),
      'a closing space',
    );
    expect(best({ ...inside, timeline, space: closing })).toBeGreaterThan(best(inside));
  });

  test('in a long space only a part is played, and it is said which', () => {
    const chords = Array.from({ length: 20 }, () => 'G');
    const timeline = timelineOf({
      chords,
      sung: [
        [0, 1, 4, 67],
        [19, 1, 4, 67],
      ],
    });
    const space = itemAt(findSpaces(timeline), 0);
    const offers = offersFor(requestFor(FOUR_BEATS, 'guitar', { timeline, space }));
    expect(offers.length).toBeGreaterThan(3);
    for (const offer of offers) {
      expect(itemAt(offer.notes, 0).tick).toBeGreaterThanOrEqual(space.endTick - 16 * 960);
      expect(offer.reasons.map((each) => each.detail)).toContain('a long space: plays at its end');
    }
  });
});

describe('what cannot be offered', () => {
  test('a tuning that is not there, a song without bars', () => {
    const request = requestFor(SIX_BEATS, 'guitar');
    expect(offerFills({ ...request, setup: { ...request.setup, tuning: 'none' } }).ok).toBe(false);
    expect(offerFills({ ...request, timeline: timelineOf({ chords: [], sung: [] }) }).ok).toBe(false);
  });

  test('a space too short for three notes has no offers', () => {
    const request = requestFor(SIX_BEATS, 'guitar');
    const space = { ...request.space, endTick: request.space.startTick + 960 };
    expect(offersFor({ ...request, space })).toEqual([]);
  });

  test('a hand too small for any grip still gets what open strings allow, or nothing', () => {
    const offers = offersFor(requestFor(SIX_BEATS, 'guitar', { spanMillimetres: 40 }));
    for (const offer of offers) expect(offer.notes.length).toBeGreaterThanOrEqual(3);
  });
});

describe('of any song', () => {
  const seeds = fc.integer({ min: 1, max: 1_000_000 });

  test('the score is the sum of the reasons, whole points; the same request gives the same offers', () => {
    fc.assert(
      fc.property(seeds, fc.constantFrom(...players), (seed, instrument) => {
        const request = requestFor(generatedSong(seed), instrument, { count: 8 });
        const offers = offersFor(request);
        expect(offersFor(request)).toEqual(offers);
        for (const offer of offers) {
          expect(offer.reasons.reduce((sum, each) => sum + each.weight, 0)).toBe(offer.score);
          expect(offer.reasons.every((each) => Number.isInteger(each.weight))).toBe(true);
        }
      }),
      { numRuns: 25 },
    );
  });

  test('at any tempo, ease, span and guard: an answer inside the space, or an empty one', () => {
    fc.assert(
      fc.property(
        seeds,
        fc.constantFrom(...players),
        fc.integer({ min: 10, max: 600 }),
        fc.integer({ min: 20, max: 2000 }),
        fc.integer({ min: 40, max: 300 }),
        fc.integer({ min: 0, max: 12_000 }),
        (seed, instrument, tempo, comfortEighthsPerMinute, spanMillimetres, guardTicks) => {
          const request = requestFor({ ...generatedSong(seed), tempo }, instrument, {
            comfortEighthsPerMinute,
            spanMillimetres,
            count: 6,
          });
          const space = { ...request.space, guardTicks };
          for (const offer of offersFor({ ...request, space }))
            for (const note of offer.notes) {
              expect(note.tick).toBeGreaterThanOrEqual(space.startTick);
              expect(note.tick + note.ticks).toBeLessThanOrEqual(space.endTick);
            }
        },
      ),
      { numRuns: 40 },
    );
  });

  test('no two offers of a list are closer than the stated distance', () => {
    fc.assert(
      fc.property(seeds, fc.constantFrom(...players), (seed, instrument) => {
        const offers = offersFor(requestFor(generatedSong(seed), instrument, { count: 8 }));
        for (const [i, a] of offers.entries())
          for (const b of offers.slice(i + 1)) {
            expect(distanceOf(a, b)).toBeGreaterThanOrEqual(MIN_DISTANCE);
            // At least a quarter of the longer one's notes differ in time, pitch or string.
            const same = a.notes.filter((note) =>
              b.notes.some(
                (each) => each.tick === note.tick && each.midi === note.midi && each.string === note.string,
              ),
            ).length;
            expect(same / Math.max(a.notes.length, b.notes.length)).toBeLessThanOrEqual(0.75 + 1e-9);
          }
      }),
      { numRuns: 25 },
    );
  });
});
