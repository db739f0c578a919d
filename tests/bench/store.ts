/**
 * What keeping an edit costs: the store in the thread of the sockets, and in one of its own. Prints, for one edit at a
 * time and for many at once, the time from edit to 'kept', edits a second, and how long the thread of the sockets was
 * held up. `node --import tsx tests/bench/store.ts`; with tests/faults/disk below it (DISK_SYNC_MICROSECONDS) the
 * syncs last longer, as on a slower disk.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { monitorEventLoopDelay, performance } from 'node:perf_hooks';
import { type Store, startThread } from '../../server/ports';
import { openSqliteStore, openWorkerStore } from '../../server/store';
import { percentile } from './measure';

const folder = process.env.DISK_FOLDER ?? mkdtempSync(join(tmpdir(), 'breathmark-bench-'));
const update = new Uint8Array(60).fill(7);
const DOCUMENTS = 50;
const pause = (milliseconds: number) => new Promise((done) => setTimeout(done, milliseconds));

async function measured(store: Store, writers: number, waits: number, milliseconds: number) {
  const times: number[] = [];
  const delay = monitorEventLoopDelay({ resolution: 1 });
  delay.enable();
  const cpu = process.cpuUsage();
  const loop = performance.eventLoopUtilization();
  const started = performance.now();
  await Promise.all(
    Array.from({ length: writers }, async (_, i) => {
      while (performance.now() - started < milliseconds) {
        const before = performance.now();
        await store.append(`d${i % DOCUMENTS}`, update);
        times.push(performance.now() - before);
        if (waits > 0) await pause(waits * (0.5 + ((times.length * 7) % 10) / 10));
      }
    }),
  );
  const took = performance.now() - started;
  const used = process.cpuUsage(cpu);
  delay.disable();
  times.sort((a, b) => a - b);
  return {
    'edits a second': Math.round((times.length / took) * 1000),
    'kept p50 ms': times[Math.floor(times.length / 2)]?.toFixed(2),
    'kept p99 ms': percentile(times, 0.99).toFixed(2),
    'loop busy': `${Math.round(performance.eventLoopUtilization(loop).utilization * 100)} %`,
    'loop held p99 ms': (delay.percentile(99) / 1e6 - 1).toFixed(2),
    'cores used': ((used.user + used.system) / 1000 / took).toFixed(2),
  };
}

const rows: Record<string, unknown> = {};
for (const gather of [0, 1, 2, 4])
  for (const where of ['here', 'apart'] as const) {
    const file = join(folder, `${where}-${gather}.sqlite`);
    const store =
      where === 'here'
        ? openSqliteStore(file, { gatherMilliseconds: gather })
        : await openWorkerStore(
            startThread(new URL('../../server/store-worker.ts', import.meta.url), { workerData: file }),
            { gatherMilliseconds: gather },
          );
    for (let i = 0; i < DOCUMENTS; i++) await store.create(`d${i}`, update);
    await measured(store, 20, 0, 300);
    rows[`${where}, gathered ${gather} ms, light`] = await measured(store, 5, 20, 1500);
    rows[`${where}, gathered ${gather} ms, 500 at once`] = await measured(store, 500, 0, 1500);
    await store.close();
  }
console.table(rows);
rmSync(folder, { recursive: true, force: true });
process.exit(0);
