import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { itemAt } from '../../../lib/base';
import { childFile, diskLibrary, ended, freshFolder, noDisk, start } from '../build';
import { afterCut, type Left, layOut, readTrace, standingIn } from '../disk/trace';
import { sourceFor } from '../numbered';
import { verify } from '../stored';
import type { Report, Suite } from '../suite';

const CUTS = 20;
/** The second begins on what a cut of the first has left. */
const LIVES = 2;
const LEFT: readonly Left[] = ['none', 'some', 'some', 'all'];

/**
 * Two lives of a store on a disk that notes every write and sync; the power is cut at twenty points of them. What was
 * synced is there, of the rest whatever chance leaves. It shows that nothing is called kept before it would outlive a
 * cut on a disk that tells the truth about its syncs; it cannot show what a disk does that lies about them.
 */
export async function cutPower(
  seed: number,
  report: Report,
  { cuts = CUTS, synchronous }: { readonly cuts?: number; readonly synchronous?: string } = {},
): Promise<void> {
  const random = sourceFor(seed, 1);
  const folder = freshFolder();
  const data = join(folder, 'data');
  let said = '';
  try {
    layOut(data, new Map());
    for (let life = 0; life < LIVES; life++) {
      const before = standingIn(data);
      const trace = join(folder, `trace-${life}`);
      const child = start(
        await childFile('store'),
        [
          join(data, 's.sqlite'),
          String(seed),
          String(1 + life * 100_000),
          String(100 + Math.floor(random() * 200)),
          'none',
        ],
        {
          env: {
            ...process.env,
            LD_PRELOAD: diskLibrary(),
            DISK_FOLDER: data,
            DISK_TRACE: trace,
            ...(synchronous === undefined ? {} : { STORE_SYNCHRONOUS: synchronous }),
          },
        },
      );
      const end = await ended(child);
      if (end !== 0) report.wrong(`the store ended with ${end}`);
      const changes = readTrace(trace);
      report.count('changes traced', changes.length);
      let standing: ReturnType<typeof afterCut> | null = null;
      for (let i = 0; i < cuts / LIVES; i++) {
        const cut = Math.floor(random() * (changes.length + 1));
        const left = itemAt(LEFT, i % LEFT.length);
        standing = afterCut(changes, cut, left, random, before);
        const after = join(folder, 'after');
        layOut(after, standing.files);
        report.count('power cuts');
        const where = `life ${life}, cut before change ${cut}, ${left} of the unsynced left`;
        await verify(join(after, 's.sqlite'), said + standing.said, where, report);
        rmSync(after, { recursive: true });
      }
      // The next life begins where the last of these cuts has left it.
      if (standing === null) break;
      said += standing.said;
      rmSync(data, { recursive: true });
      layOut(data, standing.files);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

export const power: Suite = {
  name: 'power cuts',
  runs: { short: 4, long: 60 },
  hindrance: noDisk,
  run: (seed, report) => cutPower(seed, report),
};
