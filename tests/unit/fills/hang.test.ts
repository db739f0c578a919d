import { describe, expect, test } from 'vitest';
import { itemAt, must } from '../../../lib/base';
import { fillNotesAt, fillOf, offerFills } from '../../../lib/fills';
import { barredOn, heldOn } from '../../../lib/fills/held';
import { openStrings, plainSetup } from '../../../lib/instruments';
import { fillSchema } from '../../../lib/song';
import { findSpaces, tickOfPlace } from '../../../lib/spaces';
import { parseChord, toneOf } from '../../../lib/theory';
import { SIX_BEATS, timelineOf } from './songs';

describe('hanging a fill on its place', () => {
  const timeline = timelineOf({
    ...SIX_BEATS,
    chords: ['G', 'G', ...SIX_BEATS.chords],
    sung: SIX_BEATS.sung.map(([bar, beat, beats, midi]) => [bar + 2, beat, beats, midi] as const),
  });

  test.each(findSpaces(timeline).map((space) => [space.kind, space] as const))(
    '%s: there and back',
    (_, space) => {
      const offers = offerFills({
        timeline,
        space,
        setup: plainSetup('guitar'),
        rule: 'toward',
        spanMillimetres: null,
        comfortEighthsPerMinute: null,
        count: 2,
      });
      const offer = itemAt(offers.ok ? offers.value : [], 0);
      const { fill, extent } = fillOf(offer, space);
      const origin = must(tickOfPlace(timeline, space.place), 'the place');
      expect(fillNotesAt(fill, origin)).toEqual(offer.notes);
      expect(extent).toEqual({ from: space.startTick - origin, to: space.endTick - origin });
      expect(fillSchema.parse(fill)).toEqual(fill);
      expect(itemAt(fill.chords, 0).tick).toBe(extent.from);
    },
  );
});

describe('held shapes', () => {
  const open = openStrings(plainSetup('guitar'));
  const strings = open.ok ? open.value : [];
  const names = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];

  test.each(names.flatMap((root) => ['', 'm', '7'].map((kind) => root + kind)))(
    '%s on any three neighbouring strings: chord tones in one hand',
    (symbol) => {
      const chord = must(parseChord(symbol), 'a chord');
      for (const wanted of [
        [5, 4, 3],
        [4, 3, 2],
        [3, 2, 1],
      ]) {
        const held = must(heldOn(strings, chord, wanted), 'a shape');
        const frets = wanted.map(
          (string) => must(held.get(string), 'a note') - itemAt(strings, string - 1).midi,
        );
        const stopped = frets.filter((fret) => fret > 0);
        for (const midi of held.values()) expect(toneOf(chord, midi)).not.toBeNull();
        expect(Math.max(...stopped, 0) - Math.min(...stopped, 9)).toBeLessThanOrEqual(4);
        expect(new Set([...held.values()].map((midi) => midi % 12)).size).toBeGreaterThanOrEqual(2);
      }
    },
  );

  test('a straight bar holds a major triad at one fret, and no minor triad on the three upper strings', () => {
    const reso = openStrings(plainSetup('resonator guitar'));
    const bar = reso.ok ? reso.value : [];
    const on = (symbol: string) => barredOn(bar, must(parseChord(symbol), 'a chord'), [3, 2, 1]);
    // Common practice, no source: in open G the chord of the fifth fret is C.
    expect([...must(on('C'), 'a shape').values()]).toEqual([60, 64, 67]);
    expect(on('Am')).toBeNull();
  });
});
