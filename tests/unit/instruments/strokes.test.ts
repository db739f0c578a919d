import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  ARTICULATIONS,
  INSTRUMENTS,
  isStruck,
  markStrokes,
  type NoteToStrike,
  planStrokes,
  type StrokeOptions,
  strokesForFigure,
} from '../../../lib/instruments';
import {
  FINGER_COSTS,
  PICKING_FINGERS,
  type PickingFinger,
  REACH,
} from '../../../lib/instruments/finger-costs';
import { parseMeter } from '../../../lib/time';

const plain: StrokeOptions = {
  instrument: 'guitar',
  rule: 'toward',
  meter: { count: 4, unit: 4 },
  barTick: 0,
  closes: false,
};

const struck = (string: number, tick: number, more: Partial<NoteToStrike> = {}): NoteToStrike => ({
  tick,
  ticks: 480,
  string,
  articulation: 'struck',
  run: false,
  ...more,
});

const line = (strings: readonly number[], step = 480, from = 0) =>
  strings.map((string, index) => struck(string, from + index * step, { ticks: step }));

const shown = (notes: readonly NoteToStrike[], options: Partial<StrokeOptions> = {}) =>
  planStrokes(notes, { ...plain, ...options })
    .map(({ stroke }) => stroke ?? '-')
    .join(' ');

const anyNotes = fc
  .array(
    fc.record({
      step: fc.constantFrom(0, 240, 480, 480, 480, 960, 1920),
      ticks: fc.constantFrom(240, 480, 960),
      string: fc.integer({ min: 1, max: 4 }),
      articulation: fc.constantFrom(...ARTICULATIONS),
      run: fc.boolean(),
    }),
    { maxLength: 12 },
  )
  .map((rows) => {
    let tick = 0;
    return rows.map(({ step, ...row }) => {
      tick += step;
      return { ...row, tick };
    });
  });

describe('every plan', () => {
  it('gives a stroke to struck notes alone, and the rule that gave it', () => {
    fc.assert(
      fc.property(
        anyNotes,
        fc.constantFrom(...INSTRUMENTS),
        fc.constantFrom('toward' as const, 'alternate' as const),
        fc.boolean(),
        fc.constantFrom('4/4', '3/4', '2/2', '6/8', '5/8', '3/8'),
        (notes, instrument, rule, closes, name) => {
          const meter = parseMeter(name) ?? plain.meter;
          const planned = planStrokes(notes, { instrument, rule, closes, meter, barTick: 0 });
          expect(planned).toHaveLength(notes.length);
          planned.forEach(({ stroke, rule: given }, index) => {
            const is = instrument !== 'voice' && isStruck(notes[index]?.articulation ?? 'struck');
            expect(stroke !== null).toBe(is);
            expect(given !== null).toBe(is);
          });
        },
      ),
      { numRuns: 300 },
    );
  });

  it('gives notes that start together one stroke of the pick', () => {
    const notes = [struck(3, 0), struck(2, 0), struck(1, 480)];
    expect(shown(notes)).toBe('down down up');
    expect(shown([struck(1, 0), struck(4, 480), struck(3, 480)])).toBe('up up up');
  });
});

describe('toward the next string', () => {
  it('follows the strings wherever notes go on without a rest', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 6 }), { minLength: 2, maxLength: 12 }), (strings) => {
        const planned = strokesForFigure(strings, 'toward');
        strings.forEach((string, index) => {
          const next = strings[(index + 1) % strings.length] ?? string;
          const beat = index % 2 === 0 ? 'down' : 'up';
          expect(planned[index]?.stroke).toBe(next === string ? beat : next < string ? 'down' : 'up');
          expect(planned[index]?.rule).toBe(next === string ? 'the beat decides' : 'toward the next string');
        });
      }),
      { numRuns: 200 },
    );
  });

  it('takes a silence for a rest, not a held note, where notes say how long they are', () => {
    // 3 is struck on the "and" of 1; 2 a beat later.
    expect(shown([struck(4, 0), struck(3, 480, { ticks: 960 }), struck(2, 1440)])).toBe('down down up');
    expect(shown([struck(4, 0), struck(3, 480, { ticks: 480 }), struck(2, 1440)])).toBe('down up up');
    // A string that rings on fills the silence.
    expect(shown([struck(4, 0, { ticks: 1440 }), struck(3, 480, { ticks: 480 }), struck(2, 1440)])).toBe(
      'down down up',
    );
  });

  it('takes a beat without an onset for a rest where they do not', () => {
    const unsaid = (string: number, tick: number): NoteToStrike => {
      const { ticks: _, ...note } = struck(string, tick);
      return note;
    };
    expect(shown([unsaid(4, 0), unsaid(3, 480), unsaid(2, 1440)])).toBe('down up up');
    expect(shown([unsaid(4, 0), unsaid(3, 480), unsaid(2, 960)])).toBe('down down down');
  });
});

describe('alternate', () => {
  const rule = 'alternate' as const;

  it('depends on the place in the bar alone', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 30 }), fc.integer({ min: 1, max: 6 })), {
          maxLength: 12,
        }),
        (pairs) => {
          const sorted = [...pairs].sort((a, b) => a[0] - b[0]);
          const notes = sorted.map(([eighth, string]) => struck(string, eighth * 480));
          const planned = planStrokes(notes, { ...plain, rule });
          sorted.forEach(([eighth], index) => {
            expect(planned[index]?.stroke).toBe(eighth % 2 === 0 ? 'down' : 'up');
          });
        },
      ),
      { numRuns: 200 },
    );
  });

  it('counts from the barline, before it too', () => {
    expect(shown(line([3, 2, 1, 2], 480, 480), { rule, barTick: 960 })).toBe('up down up down');
  });

  it('plays a triplet down up down and the next beat down', () => {
    expect(shown([...line([3, 2, 1], 320), ...line([3, 2], 480, 960)], { rule })).toBe(
      'down up down down up',
    );
  });

  it('moves in sixteenths through the whole fill once there is one', () => {
    expect(shown([...line([3, 3], 480), ...line([3, 3, 3, 3], 240, 960)], { rule })).toBe(
      'down down down up down up',
    );
  });

  it('gives each beat of a jig its own grid', () => {
    const meter = { count: 6, unit: 8 };
    expect(shown([...line([3, 3, 3], 480), ...line([3, 3, 3, 3, 3, 3], 240, 1440)], { rule, meter })).toBe(
      'down up down down up down up down up',
    );
    expect(shown([struck(3, 0), struck(3, 960)], { rule, meter })).toBe('down down');
  });

  it('plays quarters in cut time down up', () => {
    expect(shown(line([3, 3, 3, 3], 960), { rule, meter: { count: 2, unit: 2 } })).toBe('down up down up');
    expect(shown(line([3, 3, 3, 3], 960), { rule })).toBe('down down down down');
  });
});

describe('picking fingers', () => {
  /** The model's cost of given fingers, for single notes in eighths that do not close, written out once more. */
  function costOf(strings: readonly number[], fingers: readonly PickingFinger[]): number {
    const order = (finger: PickingFinger) => PICKING_FINGERS.indexOf(finger);
    return strings.reduce((sum, string, index) => {
      const finger = fingers[index] ?? 'thumb';
      let cost = REACH[finger][string] ?? 99;
      const before = fingers[index - 1];
      const from = strings[index - 1];
      if (before === undefined || from === undefined) return sum + cost;
      if (before === finger) cost += FINGER_COSTS.sameFingerAgain;
      else if (from === string) {
        if (before === 'middle' || finger === 'middle') cost += FINGER_COSTS.otherPairOnOneString;
        else if ((finger === 'thumb') !== (index % 2 === 0)) cost += FINGER_COSTS.againstTheBeatOnOneString;
      } else if (string > from === order(finger) > order(before)) cost += FINGER_COSTS.crossed;
      return sum + cost;
    }, 0);
  }

  function leastOf(strings: readonly number[]): number {
    let least = Number.POSITIVE_INFINITY;
    const extend = (fingers: readonly PickingFinger[]) => {
      if (fingers.length === strings.length) least = Math.min(least, costOf(strings, fingers));
      else for (const finger of PICKING_FINGERS) extend([...fingers, finger]);
    };
    extend([]);
    return least;
  }

  it('are those of least cost among all', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 5 }), { minLength: 1, maxLength: 6 }), (strings) => {
        const planned = planStrokes(line(strings), { ...plain, instrument: 'banjo' });
        const fingers = planned.map(({ stroke }) => {
          const finger = PICKING_FINGERS.find((each) => each === stroke);
          if (!finger) throw new Error(`no finger: ${stroke}`);
          return finger;
        });
        expect(costOf(strings, fingers)).toBeCloseTo(leastOf(strings), 9);
      }),
      { numRuns: 150 },
    );
  });

  it('pinch with the thumb nearest the ceiling', () => {
    expect(shown([struck(5, 0), struck(1, 0)], { instrument: 'banjo' })).toBe('thumb middle');
    expect(shown([struck(1, 0), struck(2, 0), struck(5, 0)], { instrument: 'banjo' })).toBe(
      'middle index thumb',
    );
  });

  it('brush with the thumb over more than three, and say that it is an exception', () => {
    const brush = planStrokes(
      [4, 3, 2, 1].map((string) => struck(string, 0)),
      { ...plain, instrument: 'banjo' },
    );
    expect(brush.every(({ stroke, exception }) => stroke === 'thumb' && exception)).toBe(true);
  });

  it('strike twice running in quarters', () => {
    expect(shown(line([1, 1, 1], 960), { instrument: 'banjo' })).toBe('middle middle middle');
    expect(shown(line([5, 5], 960), { instrument: 'banjo' })).toBe('thumb thumb');
  });

  it('pluck a bass with one finger in quarters, with two in eighths', () => {
    expect(shown(line([4, 3, 4, 3], 960), { instrument: 'bass' })).toBe('index index index index');
    expect(shown(line([4, 4, 3, 3], 480), { instrument: 'bass' })).toBe('index middle index middle');
  });
});

describe('bows', () => {
  it('mark a downbeat on an up-bow', () => {
    const notes = line([2, 2, 2, 2], 1280);
    const planned = planStrokes(notes, { ...plain, instrument: 'fiddle' });
    expect(planned.map(({ stroke, exception }) => `${stroke}${exception ? '!' : ''}`)).toEqual([
      'down',
      'up',
      'down',
      'up!',
    ]);
  });

  it('are taken so that the downbeat comes down', () => {
    const half = (tick: number) => struck(2, tick, { ticks: 1920 });
    expect(shown([half(1920), half(3840), half(5760)], { instrument: 'fiddle' })).toBe('up down up');
    expect(shown([half(0), half(1920), half(3840)], { instrument: 'fiddle' })).toBe('down up down');
  });

  it('are taken anew after a rest', () => {
    expect(
      shown([struck(2, 0), struck(2, 480), struck(2, 960), struck(2, 1920)], { instrument: 'fiddle' }),
    ).toBe('down up down down');
  });
});

it('marks a stroke of the player’s own that goes against their way', () => {
  const notes = [struck(4, 0), struck(4, 480, { articulation: 'hammer' }), struck(3, 960), struck(2, 1440)];
  const marked = markStrokes(notes, ['up', 'up', null, 'up'], plain);
  expect(marked.map(({ stroke, exception }) => `${stroke}${exception ? '!' : ''}`)).toEqual([
    'up!',
    'null',
    'down',
    'up',
  ]);
});
