import { join } from 'node:path';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { run } from '../../../server/command/run';

const tunes = join(import.meta.dirname, '../../tunes');
const reason = z.strictObject({ rule: z.string(), weight: z.number(), detail: z.string().min(1) });
const note = z.strictObject({
  tick: z.int(),
  ticks: z.int().min(1),
  midi: z.int(),
  string: z.int(),
  fret: z.int(),
  finger: z.int(),
  stroke: z.string().nullable(),
  articulation: z.string(),
});
const shape = z.strictObject({
  file: z.string(),
  family: z.string(),
  title: z.string(),
  notes: z.array(note).min(1),
  pickup: z
    .strictObject({ kind: z.enum(['of the tune', 'lead-in']), notes: z.array(note).min(1) })
    .nullable(),
  tune: z.array(
    z.strictObject({
      tick: z.int(),
      midi: z.int(),
      octaves: z.int(),
      playedTick: z.int(),
      licence: z.enum(['on its beat', 'early', 'late']),
    }),
  ),
  difficulty: z.strictObject({
    number: z.int().min(1).max(10),
    words: z.string(),
    terms: z.array(reason),
  }),
  unusual: z.strictObject({
    strokes: z.int(),
    shifts: z.int(),
    stretches: z.int(),
    stringLeaps: z.int(),
  }),
  chordsWorkedOut: z.boolean(),
  sentence: z.string().min(1),
  reasons: z.array(reason).min(1),
});

async function call(...args: string[]) {
  const lines: string[] = [];
  const code = await run(args, { line: async (text) => void lines.push(text), note: () => {} });
  return { lines, code };
}

// Source: Common practice, no source: the tunes' notes counted by hand in tests/tunes/README.md.
test.each([
  ['known-spaces.abc', 46],
  ['pickup.abc', 14],
  ['six-eight-no-words.abc', 25],
])('break answers for %s in notes, with every note of the tune', async (file, count) => {
  const { lines, code } = await call('break', join(tunes, file), '--player', 'banjo', '--json');
  expect(code).toBe(0);
  const answer = shape.parse(JSON.parse(lines.join()));
  expect(answer.tune).toHaveLength(count);
  for (const { playedTick, midi, octaves } of answer.tune) {
    const sounds = answer.notes.filter((note) => note.midi === midi + 12 * octaves);
    expect(sounds.some((note) => note.tick >= playedTick && note.tick <= playedTick + 240)).toBe(true);
  }
});

test('a voice and a section are asked for by name or number', async () => {
  const file = join(tunes, 'two-voices.abc');
  const byName = await call('break', file, '--player', 'fiddle', '--voice', 'tenor', '--json');
  const byNumber = await call(
    'break',
    file,
    '--player',
    'fiddle',
    '--voice',
    '2',
    '--section',
    '1',
    '--json',
  );
  expect(shape.parse(JSON.parse(byName.lines.join())).tune).toHaveLength(18);
  expect(byNumber.lines).toEqual(byName.lines);
  const { lines, code } = await call('break', file, '--player', 'fiddle', '--section', 'Bridge', '--json');
  expect(code).toBe(1);
  expect(lines.join()).toContain("there is no section 'Bridge'");
});

test('a capo moves the frets and not the sound', async () => {
  const file = join(tunes, 'known-spaces.abc');
  const { lines } = await call('break', file, '--player', 'banjo', '--capo', '2', '--json');
  const open: Record<number, number> = { 1: 64, 2: 61, 3: 57, 4: 52, 5: 67 };
  // Source, from memory: open G, two frets up; on the fifth string frets are printed from its own nut.
  for (const note of shape.parse(JSON.parse(lines.join())).notes)
    expect(note.midi - note.fret).toBe(open[note.string]);
});

test('a song without a tune is refused in its place, and the rest are answered', async () => {
  const { lines, code } = await call(
    'break',
    join(tunes, 'washline.txt'),
    join(tunes, 'pickup.abc'),
    '--player',
    'guitar',
    '--json',
  );
  expect(code).toBe(1);
  expect(JSON.parse(lines[0] ?? '')).toMatchObject({ error: { what: 'no tune is written here' } });
  expect(shape.parse(JSON.parse(lines[1] ?? '')).notes.length).toBeGreaterThan(14);
});

test('text is tablature with a sentence above it', async () => {
  const { lines } = await call('break', join(tunes, 'pickup.abc'), '--player', 'guitar');
  expect(lines.join('\n')).toMatch(/all 14 notes of the tune/);
  expect(lines.join('\n')).toMatch(/^ {2}6 \|/m);
});
