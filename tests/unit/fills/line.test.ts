import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { itemAt, must } from '../../../lib/base';
import { type Contour, type LineTask, lineCost, searchLine } from '../../../lib/fills/line';
import type { Harmony, Slot } from '../../../lib/fills/scene';
import { parseChord, parseKey, scaleOf } from '../../../lib/theory';

const harmony = (symbol: string): Harmony => ({
  startTick: 0,
  endTick: 100_000,
  chord: must(parseChord(symbol), 'a chord'),
  given: true,
});

function slotsOver(symbols: readonly string[]): readonly Slot[] {
  const harmonies = new Map(symbols.map((symbol) => [symbol, harmony(symbol)]));
  const get = (symbol: string) => must(harmonies.get(symbol), 'a harmony');
  return symbols.map((symbol, i) => {
    const after = symbols[i + 1];
    return {
      tick: i * 480,
      ticks: 480,
      strength: i % 8 === 0 ? 4 : i % 4 === 0 ? 3 : i % 2 === 0 ? 2 : 1,
      harmony: get(symbol),
      soon: after !== undefined && after !== symbol ? get(after) : null,
    };
  });
}

const task = (symbols: readonly string[], more: Partial<LineTask> = {}): LineTask => ({
  slots: slotsOver(symbols),
  lowest: 50,
  highest: 66,
  middle: 58,
  from: null,
  startsOnBass: false,
  contour: 'level',
  notes: 'key',
  scale: scaleOf(must(parseKey('G'), 'a key')),
  sungNext: null,
  leadsTo: null,
  seed: 1,
  ...more,
});

/** Every line there is, by trying them all. */
function everyLine(length: number, lowest: number, highest: number): readonly (readonly number[])[] {
  if (length === 0) return [[]];
  const shorter = everyLine(length - 1, lowest, highest);
  const lines: number[][] = [];
  for (const line of shorter) for (let p = lowest; p <= highest; p++) lines.push([...line, p]);
  return lines;
}

describe('the line search', () => {
  test('finds the least of all lines, in every small case', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom('G', 'C', 'D7', 'Em'), { minLength: 1, maxLength: 4 }),
        fc.constantFrom<Contour>('up', 'down', 'level', 'up then down', 'down then up'),
        fc.constantFrom('key' as const, 'five' as const),
        fc.option(fc.integer({ min: 50, max: 60 })),
        fc.option(fc.integer({ min: 0, max: 11 })),
        fc.boolean(),
        fc.integer({ min: 0, max: 1000 }),
        (symbols, contour, notes, from, sungNext, leads, seed) => {
          const small = task(symbols, {
            lowest: 52,
            highest: 59,
            contour,
            notes,
            from,
            sungNext,
            leadsTo: leads ? harmony('C') : null,
            seed,
          });
          const found = searchLine(small);
          const costs = everyLine(symbols.length, 52, 59).map((line) => lineCost(small, line));
          const least = Math.min(...costs);
          if (found === null) {
            expect(least).toBe(Number.POSITIVE_INFINITY);
            return;
          }
          expect(found.cost).toBeCloseTo(least, 9);
          expect(lineCost(small, found.pitches)).toBeCloseTo(found.cost, 9);
        },
      ),
      { numRuns: 40 },
    );
  });

  test('puts chord tones on the beats and lands on one', () => {
    const symbols = ['G', 'G', 'G', 'G', 'C', 'C', 'C', 'C', 'C'];
    for (const contour of ['up', 'down', 'level'] as const) {
      const line = must(searchLine(task(symbols, { contour })), 'a line');
      line.pitches.forEach((midi, i) => {
        const chord = i < 4 ? [7, 11, 2] : [0, 4, 7];
        if (i % 2 === 0) expect(chord).toContain(midi % 12);
      });
    }
  });

  test('goes the way it is asked to', () => {
    const symbols = ['G', 'G', 'G', 'G', 'G', 'G', 'G'];
    const ends = (contour: Contour) => {
      const { pitches } = must(searchLine(task(symbols, { contour })), 'a line');
      return itemAt(pitches, 6) - itemAt(pitches, 0);
    };
    expect(ends('up')).toBeGreaterThan(0);
    expect(ends('down')).toBeLessThan(0);
  });

  test('a flat third goes straight into the third', () => {
    for (let seed = 0; seed < 60; seed++) {
      const { pitches } = must(searchLine(task(['G', 'G', 'G', 'G', 'G', 'G', 'G'], { seed })), 'a line');
      pitches.forEach((midi, i) => {
        if (midi % 12 === 10) expect(pitches[i + 1]).toBe(midi + 1);
      });
    }
  });

  test('a leading line ends within a step of the next root, and not on it', () => {
    for (let seed = 0; seed < 30; seed++) {
      const line = must(
        searchLine(task(['G', 'G', 'G', 'G'], { leadsTo: harmony('C'), startsOnBass: true, seed })),
        'a line',
      );
      expect(itemAt(line.pitches, 0) % 12).toBe(7);
      expect([10, 11, 1, 2]).toContain(itemAt(line.pitches, 3) % 12);
    }
  });

  test('no slots, no line', () => {
    expect(searchLine(task([]))).toBeNull();
    expect(searchLine(task(['G'], { highest: 40 }))).toBeNull();
  });
});
