import { describe, expect, it } from 'vitest';
import { noDisk } from './build';
import type { Report, Suite } from './suite';
import { clocks } from './suites/clocks';
import { bits, rows } from './suites/damage';
import { full } from './suites/full';
import { kill } from './suites/kill';
import { migration } from './suites/migration';
import { cutPower, power } from './suites/power';
import { server } from './suites/server';

/** A report that is looked into here. */
function looked() {
  const seen = { kills: 0, kept: 0, lost: 0, wrong: [] as string[] };
  const report: Report = {
    kill: (count = 1) => {
      seen.kills += count;
    },
    kept: (count) => {
      seen.kept += count;
    },
    lost: (count, what) => {
      seen.lost += count;
      if (count > 0) seen.wrong.push(what);
    },
    wrong: (what) => seen.wrong.push(what),
    count: () => {},
    most: () => {},
  };
  return { seen, report };
}

/** One seed that the runner of many seeds has in neither of its forms. */
const SEED = 9001;

describe('nothing that was called kept is lost by', () => {
  const suites: readonly Suite[] = [power, kill, migration, server, full, rows, bits, clocks];
  it.for(suites)('$name', async (suite, { skip }) => {
    // A cut of the power is tried on a library that has to be compiled: where there is no compiler, the run says so.
    const hindrance = suite.hindrance?.() ?? null;
    skip(hindrance !== null, hindrance ?? '');
    const { seen, report } = looked();
    await suite.run(SEED, report);
    expect(seen).toMatchObject({ lost: 0, wrong: [] });
    expect(seen.kept).toBeGreaterThan(20);
  });
});

// SQLite's own documentation, from memory: in WAL mode synchronous=NORMAL does not sync at each commit, so that a cut
// of the power can take the last ones; OFF does not sync at all.
describe.skipIf(noDisk() !== null)('the cuts find what a store would lose that', () => {
  it.each(['NORMAL', 'OFF'])('synced as %s', async (synchronous) => {
    const { seen, report } = looked();
    for (let seed = 1; seed <= 2; seed++)
      await cutPower(seed, report, { synchronous }).catch(() => report.lost(1, 'the store cannot be opened'));
    expect(seen.lost).toBeGreaterThan(0);
  });
});
