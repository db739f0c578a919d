/**
 * The hand plan and the line search against brute force: the same least cost in every case, and how many times faster; and how both
 * grow with length, where brute force cannot follow. Exits 1 where a cost differs or a ratio is below its threshold.
 */
import { readFileSync } from 'node:fs';
import { z } from 'zod';
import { itemAt, must, randomFrom } from '../../lib/base';
import { type LineTask, lineCost, searchLine } from '../../lib/fills/line';
import type { Harmony, Slot } from '../../lib/fills/scene';
import {
  DEFAULT_SPAN_MILLIMETRES,
  INSTRUMENTS,
  openStrings,
  plainSetup,
  planHand,
} from '../../lib/instruments';
import { parseChord, parseKey, scaleOf } from '../../lib/theory';
import { type HandCase, leastByBruteForce } from '../outside/checker/hand-brute-force';
import { median, milliseconds, timesOf } from './measure';

const thresholds = z
  .object({ hand: z.object({ planTimesFaster: z.number(), lineTimesFaster: z.number() }) })
  .parse(JSON.parse(readFileSync(new URL('./thresholds.json', import.meta.url), 'utf8'))).hand;

const random = randomFrom(11);
const pick = <T>(items: readonly T[]): T => itemAt(items, Math.floor(random() * items.length));
const players = INSTRUMENTS.filter((name) => name !== 'voice');
let differ = 0;

/** Eighths in the first seven frets, some held over the next, on strings that are left to the plan. */
function handCase(count: number): HandCase {
  const instrument = pick(players);
  const setup = plainSetup(instrument);
  const strings = openStrings(setup);
  if (!strings.ok) throw new Error(strings.error.what);
  const notes = Array.from({ length: count }, (_, i) => ({
    tick: i * 480,
    ticks: pick([480, 480, 960]),
    midi: pick(strings.value).midi + Math.floor(random() * 8),
    articulation: 'struck' as const,
    string: null,
  }));
  return { setup, notes, span: DEFAULT_SPAN_MILLIMETRES[instrument], tempo: 120 };
}

const plan = ({ setup, notes, span, tempo }: HandCase) =>
  planHand(notes, { setup, spanMillimetres: span, quartersPerMinute: tempo });

const same = (a: number | null, b: number | null) =>
  a === null || b === null ? a === b : Math.abs(a - b) < 1e-6;

async function ratioOf(
  what: string,
  cases: number,
  fast: () => unknown,
  brute: () => unknown,
): Promise<number> {
  const ours = median(await timesOf(3, fast));
  const theirs = median(await timesOf(1, brute));
  console.log(
    `${what}: ${milliseconds(ours / cases)} each, by brute force ${milliseconds(theirs / cases)}, ${(theirs / ours).toFixed(0)} times`,
  );
  return theirs / ours;
}

let planRatio = 0;
for (const [count, many] of [
  [2, 24],
  [3, 12],
] as const) {
  const cases = Array.from({ length: many }, () => handCase(count));
  let held = 0;
  for (const each of cases) {
    const found = plan(each);
    if (found.ok) held += 1;
    if (!same(found.ok ? found.value.cost : null, leastByBruteForce(each))) differ += 1;
  }
  planRatio = await ratioOf(
    `hand plan, ${count} notes (${held} of ${many} can be held)`,
    many,
    () => cases.map(plan),
    () => cases.map(leastByBruteForce),
  );
}
for (const count of [8, 16, 32]) {
  const cases = Array.from({ length: 12 }, () => handCase(count));
  console.log(
    `hand plan, ${count} notes: ${milliseconds(median(await timesOf(5, () => cases.map(plan))) / 12)} each`,
  );
}

const harmony = (symbol: string): Harmony => ({
  startTick: 0,
  endTick: 100_000,
  chord: must(parseChord(symbol), symbol),
  given: true,
});
const harmonies = ['G', 'C', 'D7', 'Em'].map(harmony);

function lineTask(length: number, highest: number): LineTask {
  const slots: Slot[] = Array.from({ length }, (_, i) => ({
    tick: i * 480,
    ticks: 480,
    strength: i % 4 === 0 ? 3 : i % 2 === 0 ? 2 : 1,
    harmony: pick(harmonies),
    soon: null,
  }));
  return {
    slots,
    lowest: 55,
    highest,
    middle: 60,
    from: null,
    startsOnBass: false,
    contour: pick(['up', 'down', 'level', 'up then down', 'down then up'] as const),
    notes: pick(['key', 'five'] as const),
    scale: scaleOf(must(parseKey('G'), 'a key')),
    sungNext: null,
    leadsTo: null,
    seed: Math.floor(random() * 1000),
  };
}

function leastLine(task: LineTask, line: readonly number[] = []): number {
  if (line.length === task.slots.length) return lineCost(task, line);
  let least = Number.POSITIVE_INFINITY;
  for (let pitch = task.lowest; pitch <= task.highest; pitch++)
    least = Math.min(least, leastLine(task, [...line, pitch]));
  return least;
}

let lineRatio = 0;
for (const length of [3, 4]) {
  const tasks = Array.from({ length: 6 }, () => lineTask(length, 64));
  for (const task of tasks) {
    const found = searchLine(task)?.cost ?? Number.POSITIVE_INFINITY;
    const least = leastLine(task);
    if (found !== least && !same(found, least)) differ += 1;
  }
  lineRatio = await ratioOf(
    `line search, ${length} places of ten pitches`,
    6,
    () => tasks.map((task) => searchLine(task)),
    () => tasks.map((task) => leastLine(task)),
  );
}
for (const length of [8, 16, 32]) {
  const tasks = Array.from({ length: 6 }, () => lineTask(length, 76));
  const time = median(await timesOf(5, () => tasks.map((task) => searchLine(task)))) / 6;
  console.log(`line search, ${length} places of 22 pitches: ${milliseconds(time)} each`);
}

let failed = differ;
console.log(`${differ === 0 ? 'holds ' : 'BEYOND'}  costs that differ from brute force: ${differ}`);
for (const [what, ratio, least] of [
  ['hand plan, 3 notes', planRatio, thresholds.planTimesFaster],
  ['line search, 4 places', lineRatio, thresholds.lineTimesFaster],
] as const) {
  const holds = ratio >= least;
  if (!holds) failed += 1;
  console.log(
    `${holds ? 'holds ' : 'BEYOND'}  ${what}: ${ratio.toFixed(0)} times as fast (at least ${least})`,
  );
}
process.exit(failed > 0 ? 1 : 0);
