import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { run } from '../../../server/command/run';

const folder = mkdtempSync(join(tmpdir(), 'offers-'));

function written(name: string, abc: string): string {
  const file = join(folder, name);
  writeFileSync(file, abc);
  return file;
}

async function call(...args: string[]) {
  const lines: string[] = [];
  const code = await run(args, { line: async (text) => void lines.push(text), note: () => {} });
  return { lines, code };
}

/** A space of seven beats, in one meter after another. */
const song = (meter: string, bars: string) =>
  `X:1\nT:Seven\nM:${meter}\nL:1/8\nQ:1/4=112\nK:G\n${bars}\nw: la la la la la la la la\n`;

const FOUR = written(
  'four.abc',
  song('4/4', '"G" G2 A2 B2 A2 | G4 z4 | "C" z8 | "D7" z2 D2 E2 F2 | "G" G8 |'),
);
const SEVEN = written(
  'seven.abc',
  song('7/8', '"G" G2 A2 c3 | G4 z3 | "C" z7 | "D7" z4 D3 | "G" G3 z4 | "G" G7 |'),
);

// Common practice, no source: a cross tuning is named by its strings, from the lowest up.
test.each([
  ['fiddle', 'cross A', 'A E A E'],
  ['fiddle', 'cross A', 'Cross A'],
  ['banjo', 'double C', 'g C G C D'],
  ['guitar', 'drop D', 'DADGBE'],
])('the %s tuned to %s may be asked for as %s', async (player, name, asked) => {
  const plain = await call('offers', FOUR, '--space', 'all', '--player', player, '--tuning', name, '--json');
  const other = await call('offers', FOUR, '--space', 'all', '--player', player, '--tuning', asked, '--json');
  expect(plain.code).toBe(0);
  expect(other).toEqual(plain);
});

test('a tuning that there is not is a wrong call', async () => {
  const { code } = await call('offers', FOUR, '--space', 'all', '--player', 'fiddle', '--tuning', 'D A D D');
  expect(code).toBe(2);
});

// Common practice, no source: the fewest families of a player, of which a bar of seven eighths is no exception.
test.each(['fiddle', 'bass'])(
  'in bars of seven eighths the %s has three families for four beats',
  async (player) => {
    const { lines } = await call('offers', SEVEN, '--space', 'all', '--player', player, '--json');
    const { spaces } = JSON.parse(lines[0] ?? '') as { spaces: { offers: { family: string }[] }[] };
    expect(spaces.length).toBeGreaterThan(1);
    for (const { offers } of spaces)
      expect(new Set(offers.map(({ family }) => family)).size).toBeGreaterThan(2);
  },
);
