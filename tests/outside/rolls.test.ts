import { describe, expect, it } from 'vitest';
import { must } from '../../lib/base';
import { offerFills } from '../../lib/fills';
import { plainSetup, planStrokes } from '../../lib/instruments';
import { SIX_BEATS, spaceIn, timelineOf } from '../unit/fills/songs';

/** The fingers that the plan gives to strings in eighths, as letters. */
function fingers(strings: readonly number[], closes: boolean): string {
  return planStrokes(
    strings.map((string, i) => ({
      tick: i * 480,
      ticks: 480,
      string,
      articulation: 'struck' as const,
      run: false,
    })),
    { instrument: 'banjo', rule: 'toward', meter: { count: 4, unit: 4 }, barTick: 0, closes },
  )
    .map(({ stroke }) => (stroke ?? '-').charAt(0).toUpperCase())
    .join(' ');
}

describe('the fingers of banjo rolls, by their strings', () => {
  it('forward: second, first and fifth string by index, middle and thumb', () => {
    // Source: L. Witt, 'The Four Essential 5-String Banjo Rolls': the eight movements of the forward roll, one by one.
    expect(fingers([2, 1, 5, 2, 1, 5, 2, 1], false)).toBe('I M T I M T I M');
  });

  it.each([true, false])(
    'alternating thumb: third, second, fifth, first by T I T M (closing: %s)',
    (closes) => {
      // Source: R. Nickerson, 'Beginning Banjo Rolls': thumb on the 3rd, index on the 2nd, thumb on the 5th, middle on the 1st string.
      expect(fingers([3, 2, 5, 1, 3, 2, 5, 1], closes)).toBe('T I T M T I T M');
    },
  );

  it('alternating thumb, the second half from the fourth string', () => {
    // Source: littlerockbanjo.com, 'Bluegrass Banjo Rolls': the thumb goes between the third and the fourth on notes 1 and 5, the rest is the same.
    expect(fingers([3, 2, 5, 1, 4, 2, 5, 1], true)).toBe('T I T M T I T M');
  });

  it('forward is T I M, reverse is M I T, and neither skips a finger', () => {
    // Source: littlerockbanjo.com, 'Bluegrass Banjo Rolls'.
    expect(fingers([3, 2, 1, 3, 2, 1], false)).toBe('T I M T I M');
    expect(fingers([1, 2, 3, 1, 2, 3], false)).toBe('M I T M I T');
    expect(fingers([1, 2, 5, 1, 2, 5], false)).toBe('M I T M I T');
  });
});

describe('banjo rolls that are offered', () => {
  const timeline = timelineOf({ ...SIX_BEATS, chords: ['G', 'G', 'G', 'G', 'G'] });
  const offers = offerFills({
    timeline,
    space: spaceIn(timeline),
    setup: plainSetup('banjo'),
    rule: 'toward',
    spanMillimetres: null,
    comfortEighthsPerMinute: null,
    count: 30,
  });
  const rolls = (offers.ok ? offers.value : []).filter((offer) => offer.family.endsWith('roll'));

  it('are there in all four ways', () => {
    // Source: L. Witt, 'The Four Essential 5-String Banjo Rolls': forward, backward, forward-backward, mixed (alternating thumb).
    expect(new Set(rolls.map((roll) => roll.family)).size).toBe(4);
  });

  it('keep the thumb to the fifth, fourth, third and second, the index to the third and second, the middle to the first', () => {
    // Source: R. Nickerson, 'Beginning Banjo Rolls': which strings each finger primarily plays.
    const usual: Readonly<Record<string, readonly number[]>> = {
      thumb: [5, 4, 3, 2],
      index: [3, 2],
      middle: [1],
    };
    let struck = 0;
    let asUsual = 0;
    for (const { notes } of rolls) {
      for (const note of notes) {
        if (note.stroke === null) continue;
        struck += 1;
        if (usual[note.stroke]?.includes(note.string)) asUsual += 1;
      }
    }
    expect(struck).toBeGreaterThan(40);
    expect(asUsual / struck).toBeGreaterThan(0.85);
  });

  it('an alternating thumb roll gives the thumb every other eighth', () => {
    const roll = must(
      rolls.find((each) => each.family === 'alternating thumb roll' && !each.title.includes('run')),
      'an alternating thumb roll',
    );
    const eighths = roll.notes.filter((note) => note.tick % 480 === 0 && note.stroke !== null).slice(0, 8);
    expect(eighths.map((note) => note.stroke === 'thumb')).toEqual(
      eighths.map((note) => note.tick % 960 === 0),
    );
  });
});
