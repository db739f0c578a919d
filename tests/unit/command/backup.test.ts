import { join } from 'node:path';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { run } from '../../../server/command/run';

const tune = join(import.meta.dirname, '../../tunes/pickup.abc');
const shape = z.strictObject({
  file: z.string(),
  notes: z
    .array(
      z.strictObject({
        tick: z.int(),
        ticks: z.int().min(1),
        midi: z.int(),
        string: z.int(),
        fret: z.int(),
        finger: z.int(),
        stroke: z.string(),
        articulation: z.string(),
      }),
    )
    .min(1),
});

async function call(...args: string[]) {
  const lines: string[] = [];
  const code = await run(args, { line: async (text) => void lines.push(text), note: () => {} });
  return { lines, code };
}

// Source: Common practice, no source: a chop on 2 and 3 in a waltz. The tune's pickup lasts one quarter.
test('backup answers in notes, beat by beat', async () => {
  const { lines, code } = await call('backup', tune, '--player', 'mandolin', '--json');
  expect(code).toBe(0);
  const { notes } = shape.parse(JSON.parse(lines.join()));
  expect([...new Set(notes.map((note) => ((note.tick - 960) % 2880) / 960 + 1))].sort()).toEqual([2, 3]);
});

test('a voice has no strummed backup', async () => {
  expect((await call('backup', tune, '--player', 'voice')).code).toBe(1);
});
