import { join } from 'node:path';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { run } from '../../../server/command/run';

const tune = join(import.meta.dirname, '../../tunes/pickup.abc');
const shape = z.strictObject({
  file: z.string(),
  family: z.string(),
  dynamics: z.array(z.strictObject({ tick: z.int(), mark: z.enum(['p', 'mf']) })).min(1),
  chordsWorkedOut: z.boolean(),
  reasons: z
    .array(z.strictObject({ rule: z.string(), weight: z.number(), detail: z.string().min(1) }))
    .min(1),
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

test.each([
  ['guitar', 'boom-chuck'],
  ['banjo', 'vamp'],
  ['mandolin', 'chop'],
  ['fiddle', 'long notes'],
  ['resonator guitar', 'chop'],
  ['bass', 'root and fifth'],
])('the %s has its own: %s', async (player, family) => {
  const { lines, code } = await call('backup', tune, '--player', player, '--json');
  expect(code).toBe(0);
  expect(shape.parse(JSON.parse(lines.join())).family).toBe(family);
});

test('a capo moves the shapes, not the sound of the chords', async () => {
  const [plain, high] = await Promise.all(
    [[], ['--capo', '2']].map(async (more) => {
      const { lines } = await call('backup', tune, '--player', 'guitar', '--json', ...more);
      return shape.parse(JSON.parse(lines.join())).notes;
    }),
  );
  const classes = (notes: typeof plain = []) =>
    [...new Set(notes.map((note) => `${note.tick} ${note.midi % 12}`))].filter((each) =>
      each.startsWith('960 '),
    );
  expect(classes(high)).toEqual(classes(plain));
  expect(high?.map((note) => note.fret)).not.toEqual(plain?.map((note) => note.fret));
});

test('as text: tablature, a line for each string', async () => {
  const { lines } = await call('backup', tune, '--player', 'bass');
  expect(lines.join('\n')).toMatch(/\n {2}1 \|-+.*\n {2}2 \|.*\n {2}3 \|.*\n {2}4 \|/);
});

test('a voice plays no backup', async () => {
  expect((await call('backup', tune, '--player', 'voice')).code).toBe(1);
});
