import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { itemAt } from '../../../lib/base';
import { bandDocument } from '../../../lib/protocol';
import { openSqliteStore } from '../../../server/store';
import { mergeUpdates } from '../../../server/sync/merge';
import { TestServer } from '../../unit/server/harness';
import { freshFolder } from '../build';
import { sourceFor } from '../numbered';
import { allAway, allEqual, allKept, breath, lookFor, Page, wordsIn } from '../pages';
import type { Suite } from '../suite';

const HOUR = 3_600_000;

/** Three pages an hour apart, and a server whose clock is set back and forth by an hour, also from one life to the next. */
export const clocks: Suite = {
  name: 'clocks an hour apart',
  runs: { short: 4, long: 40 },
  async run(seed, report) {
    const random = sourceFor(seed, 9);
    const folder = freshFolder();
    const file = join(folder, 's.sqlite');
    let ahead = 0;
    const start = (port: number) =>
      TestServer.start(
        { store: openSqliteStore(file, { merge: mergeUpdates }), clock: () => Date.now() + ahead },
        port,
      );
    const pages: Page[] = [];
    let server = await start(0);
    try {
      const { band, cookie } = await server.newBand();
      const name = bandDocument(band.bandId);
      for (const [i, id] of ['a', 'b', 'c'].entries())
        pages.push(new Page(id, name, server.port, cookie, () => Date.now() + (i - 1) * HOUR));
      await Promise.all(pages.map((page) => page.opened.settled));
      for (let life = 0; life < 2; life++) {
        for (let i = 0; i < 120; i++) {
          itemAt(pages, Math.floor(random() * pages.length)).edit(random);
          if (random() < 0.05) {
            ahead = (Math.floor(random() * 3) - 1) * HOUR;
            report.count('clock set');
          }
          await breath(random);
        }
        await allKept(pages);
        // Whoever comes now is let in, and is not taken for somebody who asks too often.
        const listener = await server.enterBy(band.links.listener.path);
        const page = await server.ask('/api/session', { cookie: listener });
        if (page.status !== 200) report.wrong(`a listener is told ${page.status}`);
        const { port } = server;
        await server.pullThePlug();
        await allAway(pages);
        ahead = life === 0 ? -HOUR : HOUR;
        server = await start(port);
        await allKept(pages);
      }
      for (const page of pages)
        for (const code of page.refusals)
          if (code !== 'stopping') report.wrong(`page ${page.id} was refused with '${code}'`);
      await server.pullThePlug();
      const store = openSqliteStore(file);
      const words = wordsIn((await store.load(name))?.updates ?? []);
      await store.close();
      lookFor(pages, words, 'at the end', report);
      allEqual(pages, words, report);
    } finally {
      for (const page of pages) page.opened.destroy();
      await server.stop();
      rmSync(folder, { recursive: true, force: true });
    }
  },
};
