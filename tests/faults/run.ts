/**
 * Runs the fault suites of tests/faults/suites, seed by seed, and prints what was done and what was lost.
 * `--short` for the few seeds of the wider run, `--suite NAME` for one suite, `--seed N` for one seed of it.
 * Exits 1 where an edit that was called kept is not there, or anything else is wrong.
 */
import { readdirSync } from 'node:fs';
import { parseArgs } from 'node:util';
import type { Report, Suite } from './suite';

const { values: asked } = parseArgs({
  options: { short: { type: 'boolean' }, suite: { type: 'string' }, seed: { type: 'string' } },
});

const folder = new URL('./suites/', import.meta.url);
const isSuite = (value: unknown): value is Suite =>
  typeof value === 'object' && value !== null && 'name' in value && 'runs' in value && 'run' in value;

async function suites(): Promise<readonly Suite[]> {
  const found: Suite[] = [];
  for (const file of readdirSync(folder).sort()) {
    if (!file.endsWith('.ts')) continue;
    const exported: Record<string, unknown> = await import(new URL(file, folder).href);
    const here = Object.values(exported).filter(isSuite);
    if (here.length === 0) throw new Error(`${file} exports no suite`);
    found.push(...here);
  }
  return found;
}

const total = { runs: 0, kills: 0, kept: 0, lost: 0, wrong: 0, hindered: 0 };

class Tally implements Report {
  readonly figures = new Map<string, number>();
  readonly faults: string[] = [];
  kills = 0;
  keptEdits = 0;
  lostEdits = 0;

  kill(count = 1): void {
    this.kills += count;
  }
  kept(count: number): void {
    this.keptEdits += count;
  }
  lost(count: number, what: string): void {
    if (count === 0) return;
    this.lostEdits += count;
    this.faults.push(`${count} lost: ${what}`);
  }
  wrong(what: string): void {
    this.faults.push(what);
  }
  count(what: string, by = 1): void {
    this.figures.set(what, (this.figures.get(what) ?? 0) + by);
  }
  most(what: string, value: number): void {
    this.figures.set(what, Math.max(value, this.figures.get(what) ?? Number.NEGATIVE_INFINITY));
  }
}

const round = (value: number): string => String(Math.round(value * 100) / 100);

async function runSuite(suite: Suite): Promise<void> {
  const hindrance = suite.hindrance?.() ?? null;
  if (hindrance !== null) {
    total.hindered += 1;
    console.log(`${suite.name}: NOT RUN, ${hindrance}`);
    return;
  }
  const first = asked.seed === undefined ? 1 : Number(asked.seed);
  const runs = asked.seed !== undefined ? 1 : asked.short ? suite.runs.short : suite.runs.long;
  const tally = new Tally();
  const started = performance.now();
  for (let seed = first; seed < first + runs; seed++) {
    const before = tally.faults.length;
    try {
      await suite.run(seed, tally);
    } catch (error) {
      tally.wrong(error instanceof Error ? (error.stack ?? error.message) : String(error));
    }
    for (const fault of tally.faults.slice(before)) console.log(`  ${suite.name}, seed ${seed}: ${fault}`);
  }
  const figures = [...tally.figures].map(([what, value]) => `, ${what} ${round(value)}`).join('');
  console.log(
    `${suite.name}: ${runs} runs, ${tally.kills} kills, ${tally.keptEdits} edits kept, ${tally.lostEdits} lost` +
      `${figures} (${((performance.now() - started) / 1000).toFixed(1)} s)${tally.faults.length > 0 ? ' FAILED' : ''}`,
  );
  total.runs += runs;
  total.kills += tally.kills;
  total.kept += tally.keptEdits;
  total.lost += tally.lostEdits;
  total.wrong += tally.faults.length;
}

const chosen = (await suites()).filter(({ name }) => asked.suite === undefined || name === asked.suite);
if (chosen.length === 0) {
  console.error(`there is no suite '${asked.suite}'`);
  process.exit(1);
}
for (const suite of chosen) await runSuite(suite);
console.log(
  `\n${total.runs} runs, ${total.kills} kills, ${total.kept} edits kept, ${total.lost} edits lost` +
    `${total.wrong > 0 ? `, ${total.wrong} faults` : ''}${total.hindered > 0 ? `, ${total.hindered} suites not run` : ''}`,
);
process.exit(total.lost > 0 || total.wrong > 0 ? 1 : 0);
