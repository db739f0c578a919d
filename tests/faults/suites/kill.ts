import type { ChildProcess } from 'node:child_process';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { itemAt } from '../../../lib/base';
import { childFile, ended, freshFolder, start } from '../build';
import { sourceFor } from '../numbered';
import { saidBeside, verify } from '../stored';
import type { Suite } from '../suite';

/** Where a store is killed: at a statement or merge of its own, or at any moment from outside. */
const PLACES = ['append', 'compact', 'merge', 'moment'] as const;
const LIVES = 4;

/** One store that is killed again and again with SIGKILL, in the midst of its work; after each life everything is looked for. */
export const kill: Suite = {
  name: 'kills in mid-append and mid-compaction',
  runs: { short: 6, long: 100 },
  async run(seed, report) {
    const random = sourceFor(seed, 2);
    const folder = freshFolder();
    const file = join(folder, 's.sqlite');
    try {
      for (let life = 0; life < LIVES; life++) {
        const place = itemAt(PLACES, (seed + life) % PLACES.length);
        const most = { append: 200, compact: 60, merge: 8, moment: 0 }[place];
        const at = 1 + Math.floor(random() * most);
        const plan = place === 'moment' ? 'none' : `${place} ${at}`;
        const child = start(await childFile('store'), [
          file,
          String(seed),
          String(1 + life * 100_000),
          place === 'moment' ? '100000' : '3000',
          plan,
        ]);
        const end = ended(child);
        // Begun when it has said a random number of things.
        if (place === 'moment') {
          const length = saidBeside(file).length + 10 + random() * 3000;
          await Promise.race([end, soMuchSaid(file, length, child)]);
          child.kill('SIGKILL');
        }
        if ((await end) === 'SIGKILL') {
          report.kill();
          report.count(`in ${place}`);
        } else report.wrong(`life ${life} was to be killed in ${plan} and was not: ${await end}`);
        await verify(file, saidBeside(file), `killed in ${place} (${at})`, report);
      }
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  },
};

async function soMuchSaid(file: string, length: number, child: ChildProcess): Promise<void> {
  while (child.exitCode === null && saidBeside(file).length < length)
    await new Promise((done) => setTimeout(done, 3));
}
