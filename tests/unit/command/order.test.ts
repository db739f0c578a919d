import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { run } from '../../../server/command/run';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'order-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

async function call(...args: string[]) {
  const lines: string[] = [];
  const notes: string[] = [];
  const code = await run(args, {
    line: async (text) => void lines.push(text),
    note: (text) => void notes.push(text),
  });
  return { lines, notes, code };
}

function put(name: string, value: unknown): string {
  const file = join(folder, name);
  writeFileSync(file, typeof value === 'string' ? value : JSON.stringify(value));
  return file;
}

const reasons = z.array(z.strictObject({ rule: z.string(), weight: z.number(), detail: z.string() }));
const answerShape = z.strictObject({
  file: z.string(),
  order: z.array(z.string()),
  total: z.number(),
  seconds: z.number(),
  exact: z.boolean(),
  lowerBound: z.number(),
  between: z.array(
    z.strictObject({
      from: z.string(),
      to: z.string(),
      cost: z.number(),
      seconds: z.number(),
      steps: z.array(z.string()),
      heard: z.strictObject({ key: z.string(), tempo: z.string() }),
      reasons,
      atBreak: z.boolean(),
    }),
  ),
  places: z.array(z.strictObject({ song: z.string(), cost: z.number(), reasons })),
  missed: reasons,
  setSeconds: z.array(z.number()),
  warnings: z.array(z.string()),
});
const errorShape = z.strictObject({
  file: z.string(),
  error: z.strictObject({ what: z.string().min(3), where: z.string().min(3), mend: z.string().min(3) }),
});

const guitar = (capo: number) => ({ player: 'ina', instrument: 'guitar', capo, tuning: 'standard' });
const banjo = (capo: number) => ({ player: 'tobe', instrument: 'banjo', capo });
const song = (id: string, key: string, capo: number, more: object = {}) => ({
  id,
  title: `The ${id}`,
  key,
  tempo: 100,
  meter: '4/4',
  seconds: 180,
  leadSinger: 'ina',
  needs: [guitar(capo), banjo(capo)],
  ...more,
});

describe('order', () => {
  it('answers with an order of all songs, what lies between them and what it costs', async () => {
    const file = put('set.json', {
      targetSeconds: 500,
      songs: [song('c', 'B', 4), song('a', 'G', 0, { fixed: 'first' }), song('b', 'B', 4, { fixed: 3 })],
    });
    const { lines, code } = await call('order', file, '--json');
    expect(code).toBe(0);
    const answer = answerShape.parse(JSON.parse(lines[0] ?? ''));
    expect(answer.order).toEqual(['a', 'c', 'b']);
    expect(answer.between[0]?.steps).toEqual(['guitar: capo to 4', 'banjo: capo to 4, fifth string up to B']);
    expect(answer).toMatchObject({ exact: true, lowerBound: answer.total });
    expect(answer.seconds).toBe(540 + answer.between.reduce((sum, { seconds }) => sum + seconds, 0));
    expect(answer.warnings).toHaveLength(1);
    const text = (await call('order', file)).lines[0] ?? '';
    for (const part of [
      '1. The a',
      'guitar: capo to 4',
      'no order costs less',
      'longer than the 8:20 promised',
    ])
      expect(text).toContain(part);
  });

  it('takes what is left out as usual, and says so', async () => {
    const { lines } = await call('order', put('bare.json', { songs: [{ id: 'a' }, { id: 'b' }] }), '--json');
    const { warnings, seconds } = answerShape.parse(JSON.parse(lines[0] ?? ''));
    expect(warnings.filter((warning) => warning.includes('no tempo'))).toHaveLength(2);
    expect(seconds).toBeGreaterThan(360);
  });

  it('weights change what costs how much; one that is not known is told', async () => {
    const songs = [song('a', 'G', 0), song('b', 'A', 2)];
    const free = put('free.json', {
      songs,
      weights: { waiting: 0, effort: 0, sameTempo: 0, sameSinger: 0, volume: 3 },
    });
    const { total, warnings } = answerShape.parse(
      JSON.parse((await call('order', free, '--json')).lines[0] ?? ''),
    );
    expect(total).toBe(0);
    expect(warnings[0]).toContain("'volume'");
  });

  it.each<[string, unknown]>([
    ['no JSON', '{"songs": ['],
    ['no songs said', {}],
    ['a set of none', { songs: [] }],
    ['two songs first', { songs: [song('a', 'G', 0, { fixed: 'first' }), song('b', 'G', 0, { fixed: 1 })] }],
    ['a place that is not there', { songs: [song('a', 'G', 0, { fixed: 9 })] }],
    ['one id twice', { songs: [song('a', 'G', 0), song('a', 'G', 0)] }],
    ['a key that is none', { songs: [song('a', 'H', 0)] }],
    ['a tempo of nothing', { songs: [song('a', 'G', 0, { tempo: 0 })] }],
    ['an instrument that is none', { songs: [{ id: 'a', needs: [{ player: 'x', instrument: 'lute' }] }] }],
    ['too many songs', { songs: Array.from({ length: 201 }, (_, i) => ({ id: `s${i}` })) }],
  ])('%s: ends with 1 and says what, where and how to mend it', async (name, value) => {
    const good = put('good.json', { songs: [song('a', 'G', 0)] });
    const bad = put(`${name}.json`, value);
    const { lines, code } = await call('order', bad, good, '--json');
    expect(code).toBe(1);
    expect(errorShape.parse(JSON.parse(lines[0] ?? '')).error.where).toContain(bad);
    expect(answerShape.parse(JSON.parse(lines[1] ?? '')).order).toEqual(['a']);
  });

  it('a wrong call ends with 2', async () => {
    expect((await call('order')).code).toBe(2);
    expect((await call('order', 'x.json', '--count', '3')).code).toBe(2);
  });

  it('help is made from the schema', async () => {
    const help = (await call('order', '--help')).lines[0] ?? '';
    for (const field of ['targetSeconds', 'fifthCapo', 'voiceRest', 'first|last|none', '"resonator guitar"'])
      expect(help).toContain(field);
  });
});
