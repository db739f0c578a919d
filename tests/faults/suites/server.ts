import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { itemAt } from '../../../lib/base';
import { bandDocument } from '../../../lib/protocol';
import { openSqliteStore } from '../../../server/store';
import { ended, freshFolder } from '../build';
import { sourceFor } from '../numbered';
import {
  allAway,
  allEqual,
  allKept,
  breath,
  foundBand,
  lookFor,
  Page,
  type Running,
  startServer,
  wordsIn,
} from '../pages';
import type { Suite } from '../suite';

const LIVES = 3;

/** What the store holds of a document; the server is gone. */
async function storedWords(file: string, name: string): Promise<Record<string, unknown>> {
  const store = openSqliteStore(file);
  const words = wordsIn((await store.load(name))?.updates ?? []);
  await store.close();
  return words;
}

/** A whole server that is killed while three pages type, and goes on typing offline; the last life is stopped in order. */
export const server: Suite = {
  name: 'servers killed under people',
  runs: { short: 3, long: 40 },
  async run(seed, report) {
    const random = sourceFor(seed, 5);
    const folder = freshFolder();
    const file = join(folder, 's.sqlite');
    const pages: Page[] = [];
    let running: Running | null = null;
    try {
      running = await startServer(file, 0);
      const { port } = running;
      const { bandId, cookie } = await foundBand(port);
      const name = bandDocument(bandId);
      for (const id of ['a', 'b', 'c']) pages.push(new Page(id, name, port, cookie));
      await Promise.all(pages.map((page) => page.opened.settled));
      for (let life = 0; life < LIVES; life++) {
        const edits = 20 + Math.floor(random() * 200);
        for (let i = 0; i < edits; i++) {
          itemAt(pages, Math.floor(random() * pages.length)).edit(random);
          await breath(random);
        }
        const isLast = life === LIVES - 1;
        if (isLast) report.count('graceful stops');
        else report.kill();
        const started = performance.now();
        running.child.kill(isLast ? 'SIGTERM' : 'SIGKILL');
        const end = await ended(running.child);
        if (isLast) {
          report.most('longest stop (ms)', performance.now() - started);
          if (end !== 0) report.wrong(`a graceful stop ended with ${end}`);
        }
        lookFor(pages, await storedWords(file, name), `life ${life}`, report);
        for (const page of pages) if (random() < 0.7) page.edit(random);
        await allAway(pages);
        running = await startServer(file, port);
        await allKept(pages);
      }
      running.child.kill('SIGKILL');
      await ended(running.child);
      const words = await storedWords(file, name);
      lookFor(pages, words, 'at the end', report);
      allEqual(pages, words, report);
    } finally {
      for (const page of pages) page.opened.destroy();
      running?.child.kill('SIGKILL');
      rmSync(folder, { recursive: true, force: true });
    }
  },
};
