import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { must } from '../../../lib/base';
import { run } from '../../../server/command/run';

const TUNE = fileURLToPath(new URL('../../tunes/two-endings.abc', import.meta.url));
const WALK = fileURLToPath(new URL('../../tunes/known-spaces.abc', import.meta.url));
const BAND = [
  { id: 'g', instruments: ['guitar'], sings: 'lead' },
  { id: 'b', instruments: ['banjo'], capo: 2 },
  { id: 'm', instruments: ['mandolin'] },
];

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'plan-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

const reasons = z.array(z.strictObject({ rule: z.string(), weight: z.number(), detail: z.string() }));
const planShape = z.strictObject({
  file: z.string(),
  plan: z.array(
    z.strictObject({
      space: z.string(),
      pass: z.string(),
      holder: z.string().nullable(),
      cost: z.number(),
      reasons,
    }),
  ),
  total: z.number(),
  exact: z.boolean(),
  lowerBound: z.number(),
  clashes: z.array(
    z.strictObject({
      clash: z.string(),
      space: z.string().nullable(),
      pass: z.string(),
      bar: z.number(),
      beat: z.number(),
      players: z.array(z.string()),
      detail: z.string(),
      mend: z.string(),
    }),
  ),
});
const spacesShape = z.object({ spaces: z.array(z.object({ id: z.string() })) });

async function call(...args: string[]) {
  const lines: string[] = [];
  const notes: string[] = [];
  const code = await run(args, {
    line: async (text) => void lines.push(text),
    note: (text) => void notes.push(text),
  });
  return { lines, notes, code };
}

async function plan(file: string, more: object = {}) {
  const players = join(folder, 'players.json');
  writeFileSync(players, JSON.stringify({ players: BAND, ...more }));
  const { lines, code } = await call('plan', file, '--players', players, '--json');
  expect(code).toBe(0);
  return planShape.parse(JSON.parse(lines.join('')));
}

describe('plan', () => {
  it('answers every space of each pass, with costs that add up', async () => {
    const answer = await plan(TUNE);
    // The tune is played twice, with an ending of its own each time: a space in either pass, counted by hand in tests/tunes.
    expect(new Set(answer.plan.map(({ pass }) => pass)).size).toBe(2);
    for (const { cost, reasons: own } of answer.plan)
      expect(own.reduce((sum, { weight }) => sum + weight, 0)).toBe(cost);
    expect(answer.plan.reduce((sum, { cost }) => sum + cost, 0)).toBe(answer.total);
    expect(answer.exact).toBe(true);
    expect(answer.lowerBound).toBe(answer.total);
    expect(answer.clashes).toEqual([]);
  });

  it('keeps to what is settled, named by the plan or as written', async () => {
    const free = await plan(WALK);
    const first = must(free.plan[0], 'a space');
    for (const holder of ['b', 'm', null]) {
      const again = await plan(WALK, { settled: [{ space: first.space, holder }] });
      expect(again.plan[0]).toMatchObject({ space: first.space, holder });
    }
    const { lines } = await call('spaces', WALK, '--json');
    const written = must(spacesShape.parse(JSON.parse(lines.join(''))).spaces[1], 'a space as written');
    const again = await plan(WALK, { settled: [{ space: written.id, holder: 'm' }] });
    expect(again.plan[1]?.holder).toBe('m');
  });

  it('leaves as much open as is asked', async () => {
    const open = async (openShare: number) =>
      (await plan(WALK, { openShare })).plan.filter(({ holder }) => holder === null).length;
    expect(await open(1)).toBe(4);
    expect(await open(0)).toBe(0);
    expect(await open(0.5)).toBe(2);
  });

  it('tells a settled fill that cannot be played as written, with its mend', async () => {
    const free = await plan(WALK);
    const { lines } = await call('spaces', WALK, '--json');
    const space = must(
      z
        .object({ spaces: z.array(z.object({ startTick: z.number(), endTick: z.number() })) })
        .parse(JSON.parse(lines.join(''))).spaces[2],
      'the third space',
    );
    const notes = [
      { tick: space.startTick, ticks: space.endTick - space.startTick, midi: 76, string: 1, fret: 0 },
    ];
    const answer = await plan(WALK, {
      settled: [{ space: must(free.plan[2], 'its entry').space, holder: 'm', notes }],
    });
    expect(answer.clashes).toMatchObject([{ clash: 'past its guard', players: ['m'] }]);
    expect(answer.clashes[0]?.mend).not.toBe('');
  });

  it('says so where a space or a player is not there', async () => {
    const players = join(folder, 'wrong.json');
    for (const settled of [
      [{ space: 'nowhere', holder: 'b' }],
      [{ space: 'written.start', holder: 'nobody' }],
    ]) {
      writeFileSync(players, JSON.stringify({ players: BAND, settled }));
      const { lines, code } = await call('plan', WALK, '--players', players, '--json');
      expect(code).toBe(1);
      expect(JSON.parse(lines.join(''))).toMatchObject({
        error: { where: 'settled, entry 1 of the players file' },
      });
    }
  });
});
