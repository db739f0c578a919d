import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt } from '@/lib/base';
import {
  type Clock,
  snapTaps,
  snapWithoutTempo,
  TAP_COSTS,
  TAP_MODEL,
  type Tap,
  type TapBar,
  type TapEvent,
  type TapModel,
} from '@/lib/taps';

const QUARTER = 960;
const METER = { count: 4, unit: 4 };
const bars = (count: number): TapBar[] =>
  Array.from({ length: count }, (_, i) => ({
    id: `bar ${i}`,
    startTick: i * 4 * QUARTER,
    endTick: (i + 1) * 4 * QUARTER,
    meter: METER,
    pickup: false,
  }));
const CLOCK: Clock = { quartersPerMinute: 120, zeroSeconds: 0 };
const tap = (downSeconds: number, upSeconds = downSeconds + 0.2): Tap => ({ downSeconds, upSeconds });
const event = (fields: Partial<TapEvent> = {}): TapEvent => ({
  stress: 1,
  writtenTick: null,
  startsLine: false,
  ...fields,
});
const events = (count: number): TapEvent[] =>
  Array.from({ length: count }, (_, i) => event({ startsLine: i === 0 }));

/** Half a second to the beat: where beats fall. */
const beats = (...at: number[]): number[] => at.map((beat) => beat / 2);

describe('taps on the grid', () => {
  it('finds the beats under early and uneven taps, and how long each is held', () => {
    const errors = [-0.05, -0.01, -0.04, -0.02, -0.06];
    const taps = beats(0, 1, 1.5, 2, 4).map((at, i) =>
      tap(at + itemAt(errors, i), itemAt(beats(0.9, 1.5, 2, 3.5, 7), i)),
    );
    const reading = snapTaps({
      taps,
      events: events(5),
      bars: bars(2),
      swing: 1,
      clock: CLOCK,
      isOver: true,
    });
    expect(reading.snapped.map(({ tick }) => tick / QUARTER)).toEqual([0, 1, 1.5, 2, 4]);
    expect(reading.snapped.map(({ ticks }) => ticks / QUARTER)).toEqual([1, 0.5, 0.5, 1.5, 3]);
    expect(reading.slips).toEqual([]);
    expect(reading.missed).toEqual([]);
    expect(reading.leanSeconds).toBeLessThan(0);
  });

  it('takes a double tap for a slip, and leaves a gap for a syllable that nobody tapped', () => {
    const line = [true, false, false, false, true, false, false, false].map((startsLine) =>
      event({ startsLine }),
    );
    const at = beats(0, 1, 2, 3, 8, 9, 10, 11);
    const doubled = [...at.slice(0, 3), itemAt(at, 2) + 0.09, ...at.slice(3)];
    const slip = snapTaps({
      taps: doubled.map((s) => tap(s)),
      events: line,
      bars: bars(4),
      swing: 1,
      clock: CLOCK,
      isOver: true,
    });
    expect(slip.slips).toEqual([3]);
    expect(slip.snapped.map(({ tick }) => tick / QUARTER)).toEqual([0, 1, 2, 3, 8, 9, 10, 11]);
    const without = [...at.slice(0, 2), ...at.slice(3)];
    const missed = snapTaps({
      taps: without.map((s) => tap(s)),
      events: line,
      bars: bars(4),
      swing: 1,
      clock: CLOCK,
      isOver: true,
    });
    // Which of a line's syllables was left out cannot be told from times alone; that the next line begins where it does, can.
    expect(missed.snapped.find(({ event: of }) => of === 4)?.tick).toBe(8 * QUARTER);
    expect(missed.missed).toHaveLength(1);
    expect(itemAt(missed.missed, 0)).toBeLessThan(4);
  });

  it('stops where the taps stop: what comes after is not missed', () => {
    const reading = snapTaps({
      taps: beats(0, 1, 2).map((s) => tap(s)),
      events: events(9),
      bars: bars(4),
      swing: 1,
      clock: CLOCK,
      isOver: false,
    });
    expect(reading.snapped.map(({ event: of }) => of)).toEqual([0, 1, 2]);
    expect(reading.missed).toEqual([]);
  });

  it('hears a swung half beat where it sounds', () => {
    const taps = [0, 2 / 3, 1, 5 / 3, 2].map((beat) => tap(beat / 2));
    const reading = snapTaps({
      taps,
      events: events(5),
      bars: bars(1),
      swing: 2,
      clock: CLOCK,
      isOver: true,
    });
    expect(reading.snapped.map(({ tick }) => tick / QUARTER)).toEqual([0, 0.5, 1, 1.5, 2]);
  });

  it('follows a tapper who drifts away from the clock', () => {
    const meant = Array.from({ length: 24 }, (_, i) => i);
    const taps = meant.map((beat) => tap((beat / 2) * 0.992 - 0.02));
    const reading = snapTaps({
      taps,
      events: events(24),
      bars: bars(6),
      swing: 1,
      clock: CLOCK,
      isOver: true,
    });
    expect(reading.snapped.map(({ tick }) => tick / QUARTER)).toEqual(meant);
  });

  it('says which place would be next, and how near it comes', () => {
    const reading = snapTaps({
      taps: [tap(0), tap(0.5), tap(1.13), tap(2)],
      events: events(4),
      bars: bars(2),
      swing: 1,
      clock: CLOCK,
      isOver: true,
    });
    const doubtful = itemAt(reading.snapped, 2);
    for (const i of [0, 1, 3]) expect(doubtful.margin).toBeLessThan(itemAt(reading.snapped, i).margin);
    expect([2 * QUARTER, 2.25 * QUARTER, 2.5 * QUARTER]).toContain(doubtful.tick);
    expect(doubtful.otherTick).not.toBe(doubtful.tick);
    expect(doubtful.reasons.map(({ rule }) => rule)).toEqual(['timing', 'place', 'step', 'step']);
  });

  it('answers no taps, no events and no bars', () => {
    const none = { taps: [], events: [], bars: bars(1), swing: 1, clock: CLOCK, isOver: true };
    expect(snapTaps(none).snapped).toEqual([]);
    expect(snapTaps({ ...none, taps: [tap(0)] }).slips).toEqual([0]);
    expect(snapTaps({ ...none, taps: [tap(0)], events: events(2), bars: [] }).snapped).toEqual([]);
    expect(snapTaps({ ...none, taps: [tap(900)], events: events(2) }).snapped).toEqual([]);
  });
});

/** A small model, so that every way can be tried. */
const SMALL: TapModel = { ...TAP_MODEL, leans: [-0.05, 0, 0.05], spreads: [0.035, 0.055] };

/**
 * The least cost over every alignment, place and lean, written anew from the model's words: half a beat and less away from the beat are
 * told by hand, no function of the room is used.
 */
function bruteForce(
  taps: readonly Tap[],
  all: readonly TapEvent[],
  barCount: number,
  isOver: boolean,
): number {
  const C = TAP_COSTS;
  const places = Array.from({ length: barCount * 16 }, (_, i) => ({
    tick: i * 240,
    seconds: i / 8,
    strength: i % 16 === 0 ? 4 : i % 8 === 0 ? 3 : i % 4 === 0 ? 2 : i % 2 === 0 ? 1 : 0,
  }));
  const gaps = taps.slice(1).map((one, i) => one.downSeconds - itemAt(taps, i).downSeconds);
  const usual = Math.max(240, ([...gaps].sort((a, b) => a - b)[gaps.length >> 1] ?? 0.5) * 1920);
  const slip = (j: number) =>
    j > 0 && itemAt(taps, j).downSeconds - itemAt(taps, j - 1).downSeconds < C.doubleWithin
      ? C.double
      : C.slip;
  const slips = (from: number, to: number) => {
    let sum = 0;
    for (let j = from; j < to; j++) sum += slip(j);
    return sum;
  };
  let least = slips(0, taps.length) + all.length * (isOver ? C.missed : C.notYet);
  const walk = (
    spread: number,
    last: { tap: number; event: number; place: number; lean: number } | null,
    cost: number,
  ): void => {
    if (last) {
      const whole =
        cost +
        slips(last.tap + 1, taps.length) +
        (all.length - 1 - last.event) * (isOver ? C.missed : C.notYet);
      least = Math.min(least, whole);
    }
    const most = SMALL.skips;
    for (let j = last ? last.tap + 1 : 0; j < taps.length; j++) {
      for (let i = last ? last.event + 1 : 0; i < all.length; i++) {
        const tapsPassed = last ? j - last.tap - 1 : j;
        const eventsPassed = last ? i - last.event - 1 : i;
        if (tapsPassed > most || eventsPassed > most) continue;
        if (last && tapsPassed > 0 && eventsPassed > 0) continue;
        const passed = slips(last ? last.tap + 1 : 0, j) + eventsPassed * C.missed;
        places.forEach((place, p) => {
          if (last && p <= last.place) return;
          const late = itemAt(taps, j).downSeconds - place.seconds;
          if (late < -0.05 - 0.3 - 1e-9 || late > 0.05 + 0.3 + 1e-9) return;
          for (const lean of SMALL.leans) {
            const z = Math.abs(late - lean) / spread;
            let own =
              (z <= C.square ? (z * z) / 2 : C.square * z - (C.square * C.square) / 2) +
              Math.log(spread / C.usualSpread);
            const { stress, writtenTick, startsLine } = itemAt(all, i);
            own += C.place[stress][place.strength as 0 | 1 | 2 | 3 | 4];
            if (writtenTick !== null)
              own += Math.min(C.mostAway, (C.away * Math.abs(place.tick - writtenTick)) / 960);
            if (last) {
              const since = itemAt(taps, j).downSeconds - itemAt(taps, last.tap).downSeconds;
              own += (lean - last.lean) ** 2 / (2 * C.wander ** 2 * Math.max(since, 0.05));
              if (eventsPassed === 0) {
                const gap = place.tick - itemAt(places, last.place).tick;
                own += startsLine
                  ? C.breath * Math.max(0, 2 - gap / 960)
                  : C.step * Math.abs(Math.log2(gap / usual));
              }
            } else own += (lean - C.lean) ** 2 / (2 * C.leanSpread ** 2);
            walk(spread, { tap: j, event: i, place: p, lean }, cost + passed + own);
          }
        });
      }
    }
  };
  for (const spread of SMALL.spreads) walk(spread, null, 0);
  return least;
}

it('is exact for its model: no other alignment, place or lean costs less', () => {
  fc.assert(
    fc.property(
      fc.array(fc.record({ gap: fc.integer({ min: 40, max: 700 }) }), { minLength: 1, maxLength: 3 }),
      fc.array(
        fc.record({
          stress: fc.constantFrom(0 as const, 1 as const, 2 as const),
          writtenTick: fc.option(fc.constantFrom(0, 960, 2400), { nil: null }),
          startsLine: fc.boolean(),
        }),
        { minLength: 1, maxLength: 3 },
      ),
      fc.boolean(),
      (gaps, all, isOver) => {
        let at = -0.1;
        const taps = gaps.map(({ gap }) => {
          at += gap / 1000;
          return tap(at);
        });
        const reading = snapTaps({ taps, events: all, bars: bars(1), swing: 1, clock: CLOCK, isOver }, SMALL);
        expect(reading.cost).toBeCloseTo(bruteForce(taps, all, 1, isOver), 6);
      },
    ),
    { numRuns: 40, seed: 20 },
  );
});

it('reads taps alike wherever the clock begins', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 120, max: 900 }), { minLength: 1, maxLength: 12 }),
      fc.integer({ min: -1000, max: 100_000 }),
      (gaps, seconds) => {
        let at = 0;
        const taps = gaps.map((gap) => {
          at += gap / 1000;
          return tap(at);
        });
        const input = { events: events(taps.length), bars: bars(4), swing: 1, isOver: true };
        const here = snapTaps({ ...input, taps, clock: CLOCK });
        const there = snapTaps({
          ...input,
          taps: taps.map(({ downSeconds, upSeconds }) => tap(downSeconds + seconds, upSeconds + seconds)),
          clock: { ...CLOCK, zeroSeconds: seconds },
        });
        expect(there.cost).toBeCloseTo(here.cost, 4);
        for (const [i, one] of here.snapped.entries()) {
          const next = here.snapped[i + 1];
          expect(one.ticks).toBeGreaterThan(0);
          if (next) expect(one.tick + one.ticks).toBeLessThanOrEqual(next.tick);
        }
      },
    ),
    { numRuns: 30, seed: 21 },
  );
});

it('finds tempo and start from the taps where nobody knows them', () => {
  const meant = [0, 1, 1.5, 2, 3, 4, 6, 8, 9, 9.5, 10, 11, 12, 14, 16, 17, 17.5, 18, 19, 20, 22];
  const all = meant.map((beat) =>
    event({
      startsLine: beat % 8 === 0,
      writtenTick: beat % 8 === 0 ? beat * QUARTER : null,
      stress: beat % 4 === 0 ? 2 : 1,
    }),
  );
  const errors = [0.02, -0.03, 0.01, -0.01, 0.03, 0, -0.02];
  const taps = meant.map((beat, i) => tap(42 + (beat * 60) / 93 + itemAt(errors, i % errors.length) - 0.03));
  const found = snapWithoutTempo({ taps, events: all, bars: bars(6), swing: 1, isOver: true });
  if (!found.ok) throw new Error(found.error.what);
  expect(found.value.clock.quartersPerMinute).toBeGreaterThan(92);
  expect(found.value.clock.quartersPerMinute).toBeLessThan(94);
  expect(found.value.snapped.map(({ tick }) => tick / QUARTER)).toEqual(meant);
});

it('asks for more taps where there are too few for a tempo', () => {
  const found = snapWithoutTempo({
    taps: [tap(0), tap(1)],
    events: events(2),
    bars: bars(1),
    swing: 1,
    isOver: true,
  });
  expect(found.ok).toBe(false);
});
