import { expect, it } from 'vitest';
import { itemAt, must, randomFrom } from '../../../lib/base';
import type { Moment } from '../../../lib/fills/break/frame';
import { choicesAt, type Lag, type Model } from '../../../lib/fills/break/model';
import {
  acrossCost,
  beginCost,
  besideRollCost,
  canGoOn,
  neckCost,
  placeCost,
  shiftCosts,
} from '../../../lib/fills/break/moves';
import { rollStates } from '../../../lib/fills/break/roll-states';
import { leastWay } from '../../../lib/fills/break/search';
import { openStrings, plainSetup } from '../../../lib/instruments';
import { parseChord } from '../../../lib/theory';

/** Where a way has come to. */
interface At {
  readonly lag: Lag;
  readonly roll: number | null;
  readonly string: number;
  readonly position: number;
}

/** The least cost of all ways, tried one after another; a way is given up only where it costs as much as the best already. */
function bruteForce(model: Model): number {
  let best = Number.POSITIVE_INFINITY;
  const go = (k: number, at: At, cost: number): void => {
    if (cost >= best) return;
    if (k === model.moments.length) {
      if (at.lag === 'due') best = cost;
      return;
    }
    const { once, fret } = shiftCosts(model, k);
    for (const choice of choicesAt(model, k)) {
      if (choice.before !== at.lag) continue;
      for (let position = choice.lowest; position <= choice.highest; position++) {
        const apart = Math.abs(position - at.position);
        const moved = cost + (apart === 0 ? 0 : once + fret * apart);
        const { string, kind } = choice;
        if (string === null) {
          go(k + 1, { lag: choice.after, roll: null, string: at.string, position }, moved + choice.cost);
          continue;
        }
        const struck = moved + choice.cost + neckCost(position);
        const across = struck + acrossCost(model, k, at.string, string, kind);
        const then = { lag: choice.after, string, position };
        if (kind !== 'roll') go(k + 1, { ...then, roll: null }, across + besideRollCost(model, kind));
        if (kind === 'run') continue;
        model.rolls.forEach((state, roll) => {
          if (state.string !== string) return;
          go(k + 1, { ...then, roll }, across + beginCost(model, k, state, kind));
          if (at.roll !== null && state.from.includes(at.roll) && canGoOn(model, k))
            go(k + 1, { ...then, roll }, struck + placeCost(model, k, state, kind));
        });
      }
    }
  };
  for (let position = 1; position <= model.positions; position++)
    go(0, { lag: 'due', roll: null, string: 0, position }, 0);
  return best;
}

function smallModel(seed: number): Model {
  const random = randomFrom(seed);
  const pick = <T>(items: readonly T[]): T => itemAt(items, Math.floor(random() * items.length));
  const instrument = pick(['guitar', 'banjo', 'mandolin'] as const);
  const all = openStrings(plainSetup(instrument));
  const strings = must(all.ok ? all.value : null, 'strings');
  const rolls = rollStates(instrument, strings.length, false);
  const kept = rolls.slice(0, 3).map((state) => ({ ...state, from: state.from.filter((i) => i < 3) }));
  const chords = ['G', 'D7', 'Em', 'C'].map((symbol) => must(parseChord(symbol), symbol));
  const count = 3 + Math.floor(random() * 2);
  const pitches: number[] = [];
  let sings: number | null = null;
  const moments = Array.from({ length: count }, (_, k): Moment => {
    const due = k === 0 || k === count - 1 || random() < 0.4 ? pitches.length : null;
    if (due !== null) {
      sings = itemAt(strings, Math.floor(random() * 3)).midi + Math.floor(random() * 4);
      pitches.push(sings);
    }
    const harmony = { startTick: 0, endTick: 9600, chord: pick(chords), given: true };
    const run = due === null && random() < 0.15 ? itemAt(strings, 1).midi + 2 : null;
    return {
      tick: 480 * k,
      ticks: 480,
      strength: random() < 0.3 ? 2 : 1,
      harmony,
      soon: null,
      onGrid: true,
      due,
      run,
      sings,
    };
  });
  return {
    instrument,
    strings,
    moments,
    pitches,
    rolls: seed % 5 === 0 ? [] : kept,
    rule: pick(['toward', 'alternate'] as const),
    positions: 2,
  };
}

it('finds the way of least cost: the same as trying them all', () => {
  let moved = 0;
  for (let seed = 1; seed <= 150; seed++) {
    const model = smallModel(seed);
    const way = leastWay(model);
    const least = bruteForce(model);
    if (!way) {
      expect(least).toBe(Number.POSITIVE_INFINITY);
      continue;
    }
    expect(way.cost).toBeCloseTo(least, 9);
    moved += way.steps.filter((step) => step.choice.before !== 'due' || step.choice.after !== 'due').length;
  }
  // Cases with a note moved off its beat are among them.
  expect(moved).toBeGreaterThan(0);
});
