import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  barTicks,
  beatOf,
  beatStrength,
  beatsPerBar,
  beatTicks,
  meterName,
  parseMeter,
  secondsOf,
  swingTick,
  TempoMap,
  ticksOf,
} from '../../../lib/time';

describe('meters', () => {
  it.each([
    ['4/4', 3840, 4],
    ['3/4', 2880, 3],
    ['2/4', 1920, 2],
    ['2/2', 3840, 2],
    ['6/8', 2880, 2],
    ['9/8', 4320, 3],
    ['12/8', 5760, 4],
    ['3/8', 1440, 3],
    ['5/4', 4800, 5],
  ])('%s lasts %d ticks and has %d beats', (name, ticks, beats) => {
    const meter = parseMeter(name);
    expect(meter && barTicks(meter)).toBe(ticks);
    expect(meter && beatsPerBar(meter)).toBe(beats);
    expect(meter && meterName(meter)).toBe(name);
  });

  it('reads C and cut C, and refuses what is no meter', () => {
    expect(parseMeter('C')).toEqual({ count: 4, unit: 4 });
    expect(parseMeter('C|')).toEqual({ count: 2, unit: 2 });
    for (const text of ['', '4', '0/4', '4/3', 'four', '4/0', '-3/4']) expect(parseMeter(text)).toBeNull();
  });

  it('counts beats from 1, fractions between', () => {
    expect(beatOf({ count: 4, unit: 4 }, 0)).toBe(1);
    expect(beatOf({ count: 4, unit: 4 }, 1440)).toBe(2.5);
    expect(beatOf({ count: 6, unit: 8 }, 1440)).toBe(2);
  });

  it('knows strong places from weak ones', () => {
    const four = { count: 4, unit: 4 };
    expect([0, 480, 960, 1920, 2880, 240].map((offset) => beatStrength(four, offset))).toEqual([
      4, 1, 2, 3, 2, 0,
    ]);
    const jig = { count: 6, unit: 8 };
    expect([0, 480, 960, 1440, 240].map((offset) => beatStrength(jig, offset))).toEqual([4, 1, 1, 2, 0]);
  });
});

describe('feel', () => {
  it('leaves a straight feel alone', () => {
    fc.assert(
      fc.property(fc.nat(100_000), (tick) => {
        expect(swingTick({ ratio: 1 }, tick)).toBeCloseTo(tick);
      }),
    );
  });

  it('keeps order and beats under any swing', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 4, noNaN: true }),
        fc.nat(50_000),
        fc.integer({ min: 1, max: 5000 }),
        (ratio, a, step) => {
          expect(swingTick({ ratio }, a + step)).toBeGreaterThan(swingTick({ ratio }, a));
          const beat = a - (a % 960);
          expect(swingTick({ ratio }, beat)).toBe(beat);
        },
      ),
    );
  });
});

describe('tempo', () => {
  it('turns ticks to seconds', () => {
    expect(secondsOf(960, 60)).toBe(1);
    expect(secondsOf(ticksOf(1, 2), 120)).toBe(1);
  });

  it('goes there and back over any tempo steps', () => {
    const change = fc.record({
      tick: fc.nat(100_000),
      quartersPerMinute: fc.double({ min: 20, max: 300, noNaN: true }),
    });
    fc.assert(
      fc.property(
        fc.uniqueArray(change, { minLength: 1, maxLength: 8, selector: (one) => one.tick }),
        fc.nat(200_000),
        (changes, tick) => {
          const map = new TempoMap(changes);
          expect(map.tick(map.seconds(tick))).toBeCloseTo(tick, 4);
          expect(map.seconds(tick + 1)).toBeGreaterThan(map.seconds(tick));
        },
      ),
    );
  });

  it('adds up the stretches at each tempo', () => {
    const map = new TempoMap([
      { tick: 0, quartersPerMinute: 60 },
      { tick: 3840, quartersPerMinute: 120 },
    ]);
    expect(map.seconds(3840)).toBe(4);
    expect(map.seconds(3840 + 1920)).toBe(5);
    expect(map.between(2880, 4800)).toBe(1.5);
    expect(map.tempoAt(3840)).toBe(120);
    expect(map.tempoAt(3839)).toBe(60);
  });

  it('refuses what is no tempo', () => {
    expect(() => new TempoMap([])).toThrow(RangeError);
    expect(() => new TempoMap([{ tick: 0, quartersPerMinute: 0 }])).toThrow(RangeError);
  });
});

it('beats in compound time are dotted', () => {
  expect(beatTicks({ count: 6, unit: 8 })).toBe(ticksOf(3, 8));
});
