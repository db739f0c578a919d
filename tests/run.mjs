/**
 * Runs every check that `npm test` stands for, one after another, and closes with a count. Node's own modules only.
 * `--write FILE` also writes the counts as JSON, for the wider run.
 */
import { spawn } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';

const results = 'test-results';
mkdirSync(results, { recursive: true });

/** A step counts as one test, unless it leaves a report that says how many it ran. */
const steps = [
  { name: 'format and lint', command: 'npx biome check .' },
  { name: 'types', command: 'npx tsc --noEmit' },
  { name: 'import law', command: 'npx depcruise --config .dependency-cruiser.cjs app server lib tests' },
  {
    name: 'unit, property, outside and fault tests',
    report: `${results}/vitest.json`,
    command: `npx vitest run --reporter=default --reporter=json --outputFile.json=${results}/vitest.json`,
    count: (report) => ({
      passed: report.numPassedTests,
      failed: report.numFailedTests + report.numFailedTestSuites * (report.numFailedTests === 0 ? 1 : 0),
      skipped: report.numPendingTests,
    }),
  },
  { name: 'build', command: 'node server/build.mjs' },
  { name: 'size budgets', command: 'node tests/budgets.mjs' },
  {
    name: 'in the browser',
    report: `${results}/playwright.json`,
    command: 'npx playwright test',
    env: { PLAYWRIGHT_JSON_OUTPUT_NAME: `${results}/playwright.json` },
    count: ({ stats }) => ({
      passed: stats.expected + stats.flaky,
      failed: stats.unexpected,
      skipped: stats.skipped,
    }),
  },
];

const run = (step) =>
  new Promise((resolve) => {
    const child = spawn(step.command, {
      shell: true,
      stdio: 'inherit',
      env: { ...process.env, ...step.env },
    });
    child.on('exit', (code) => resolve(code ?? 1));
  });

const total = { passed: 0, failed: 0, skipped: 0 };
const failures = [];
for (const step of steps) {
  process.stdout.write(`\n--- ${step.name}\n`);
  if (step.report) rmSync(step.report, { force: true });
  const started = Date.now();
  const code = await run(step);
  let counts = code === 0 ? { passed: 1, failed: 0, skipped: 0 } : { passed: 0, failed: 1, skipped: 0 };
  if (step.report) {
    try {
      counts = step.count(JSON.parse(readFileSync(step.report, 'utf8')));
    } catch {
      counts = { passed: 0, failed: 1, skipped: 0 };
    }
    if (code !== 0 && counts.failed === 0) counts.failed = 1;
    if (counts.passed === 0) counts.failed = Math.max(1, counts.failed);
  }
  for (const key of Object.keys(total)) total[key] += counts[key];
  if (counts.failed > 0) failures.push(step.name);
  process.stdout.write(`--- ${step.name}: ${((Date.now() - started) / 1000).toFixed(1)} s\n`);
}

if (failures.length > 0) process.stdout.write(`\nfailed: ${failures.join(', ')}\n`);
const write = process.argv.indexOf('--write');
if (write > 0) writeFileSync(process.argv[write + 1], JSON.stringify(total));
process.stdout.write(
  `\n${total.passed} passed, ${total.failed} failed${total.skipped ? `, ${total.skipped} skipped` : ''}\n`,
);
process.exit(total.failed > 0 ? 1 : 0);
