import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt } from '../../../lib/base';
import {
  type ChordShape,
  changeCost,
  chordShape,
  type InstrumentName,
  plainSetup,
  shapeOfStops,
  smoothestHolds,
  type Turn,
} from '../../../lib/instruments';

const CHORDS = [
  [7, 11, 2],
  [0, 4, 7],
  [2, 6, 9],
  [4, 7, 11],
  [9, 0, 4],
];

function shapesOf(name: InstrumentName, tones: readonly number[], count: number): readonly ChordShape[] {
  const shapes = chordShape(plainSetup(name), tones, { count, bass: null });
  if (!shapes.ok) throw new Error(shapes.error.what);
  return shapes.value;
}
const holdsOf = (shapes: readonly ChordShape[]) =>
  shapes.map((shape) => ({ arrives: shape, leaves: shape, cost: shape.cost }));
const shapeAt = (drawn: string, fingers: string, position: number): ChordShape => ({
  cost: 0,
  position,
  stops: [...drawn].flatMap((fret, i) =>
    fret === 'x' ? [] : [{ string: 6 - i, fret: Number(fret), finger: Number(fingers[i]) }],
  ),
});

describe('changes of shape', () => {
  const setup = plainSetup('guitar');
  const am = shapeAt('x02210', 'x02310', 1);
  const c = shapeAt('x32010', 'x32010', 1);

  it('cost nothing where no finger moves', () => {
    expect(changeCost(setup, am, am, 1)).toBe(0);
    // A finger that is lifted costs nothing either.
    expect(changeCost(setup, am, shapeAt('x00210', 'x00310', 1), 1)).toBe(0);
  });

  it('cost one finger and its way from A minor to C: the ring finger from the third string to the fifth', () => {
    // Source, from memory: the two shapes share index and middle finger, as every guitar tutor shows.
    const way = Math.hypot(645 * (2 ** (-2 / 12) - 2 ** (-3 / 12)), 2 * 7.3);
    expect(changeCost(setup, am, c, 1)).toBeCloseTo(1 + 0.04 * way, 6);
  });

  it('shift the hand beyond the reach of its fingers, dearer in a hurry', () => {
    const low = shapeAt('133211', '134211', 1);
    const high = shapeAt('577655', '134211', 5);
    expect(changeCost(setup, low, high, 0.2)).toBeGreaterThan(changeCost(setup, low, high, 2));
    const bar = plainSetup('resonator guitar');
    const at = (fret: number) => shapeOfStops(bar, [{ string: 1, fret, finger: 1 }]);
    expect(changeCost(bar, at(5), at(6), 1)).toBeLessThan(changeCost(bar, at(5), at(7), 1));
    expect(changeCost(bar, at(5), at(5), 1)).toBe(0);
  });

  it('begin and end where a fill does', () => {
    expect(shapeOfStops(setup, [{ string: 2, fret: 7, finger: 3 }]).position).toBe(5);
    expect(shapeOfStops(plainSetup('fiddle'), [{ string: 1, fret: 5, finger: 3 }]).position).toBe(2);
    expect(shapeOfStops(setup, [{ string: 2, fret: 0, finger: 0 }]).position).toBe(0);
  });
});

describe('the smoothest holds', () => {
  it('cost as little as the best of all ways, tried one by one', () => {
    const names = ['guitar', 'mandolin', 'banjo', 'fiddle', 'resonator guitar'] as const;
    let better = 0;
    fc.assert(
      fc.property(
        fc.constantFrom(...names),
        fc.array(
          fc.record({
            chord: fc.nat({ max: CHORDS.length - 1 }),
            seconds: fc.constantFrom(0.1, 0.3, 0.6, 2),
          }),
          { minLength: 1, maxLength: 5 },
        ),
        fc.integer({ min: 2, max: 5 }),
        fc.boolean(),
        (name, chords, count, voiced) => {
          const setup = plainSetup(name);
          const between = voiced
            ? (from: ChordShape, to: ChordShape) => Math.abs(from.stops.length - to.stops.length)
            : () => 0;
          const turns: Turn[] = chords.map(({ chord, seconds }) => ({
            holds: holdsOf(shapesOf(name, itemAt(CHORDS, chord), count)),
            seconds,
          }));
          let least = Number.POSITIVE_INFINITY;
          const tryFrom = (at: number, before: ChordShape | null, cost: number): void => {
            const turn = turns[at];
            if (!turn) {
              least = Math.min(least, cost);
              return;
            }
            for (const { arrives, leaves, cost: own } of turn.holds) {
              const change =
                before === null
                  ? 0
                  : changeCost(setup, before, arrives, turn.seconds) + between(before, arrives);
              tryFrom(at + 1, leaves, cost + own + change);
            }
          };
          tryFrom(0, null, 0);
          const found = smoothestHolds(setup, turns, between);
          expect(found.cost).toBeCloseTo(least, 9);
          expect(found.holds).toHaveLength(turns.length);
          const greedy = turns.reduce(
            (sum, turn) => sum + Math.min(...turn.holds.map((hold) => hold.cost)),
            0,
          );
          if (least > greedy) better += 1;
        },
      ),
      { numRuns: 60, seed: 5 },
    );
    // The changes have had something to say.
    expect(better).toBeGreaterThan(20);
  });

  it('is empty where nothing is held', () => {
    expect(smoothestHolds(plainSetup('guitar'), [])).toEqual({ holds: [], cost: 0 });
  });
});
