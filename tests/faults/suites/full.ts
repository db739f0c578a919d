import { readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { itemAt } from '../../../lib/base';
import { bandDocument } from '../../../lib/protocol';
import { inspectStore } from '../../../server/store';
import { until } from '../../unit/server/harness';
import { diskLibrary, freshFolder, noDisk } from '../build';
import { layOut } from '../disk/trace';
import { sourceFor } from '../numbered';
import {
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

const SPELLS = 2;

/** What stands in a document, read beside the server that has the store. */
function wordsBeside(file: string, wanted: string): Record<string, unknown> {
  let words: Record<string, unknown> = {};
  inspectStore(file, ({ name, updates }) => {
    if (name === wanted) words = wordsIn(updates);
  });
  return words;
}

/** A disk that fills up while three pages type, and has room again later. The server stays up and says what is wrong. */
export const full: Suite = {
  name: 'full disks',
  runs: { short: 2, long: 25 },
  hindrance: noDisk,
  async run(seed, report) {
    const random = sourceFor(seed, 6);
    const folder = freshFolder();
    const data = join(folder, 'data');
    const room = join(folder, 'room');
    const file = join(data, 's.sqlite');
    const pages: Page[] = [];
    let running: Running | null = null;
    const ask = async (path: string, body?: unknown) => {
      const answer = await fetch(`http://127.0.0.1:${running?.port}${path}`, {
        ...(body === undefined
          ? {}
          : { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) }),
      });
      return { status: answer.status, body: await answer.json() };
    };
    try {
      layOut(data, new Map());
      running = await startServer(file, 0, {
        LD_PRELOAD: diskLibrary(),
        DISK_FOLDER: data,
        DISK_ROOM: room,
      });
      const { child, port } = running;
      const { bandId, cookie } = await foundBand(port);
      const name = bandDocument(bandId);
      for (const id of ['a', 'b', 'c']) pages.push(new Page(id, name, port, cookie));
      await Promise.all(pages.map((page) => page.opened.settled));
      const type = async (edits: number) => {
        for (let i = 0; i < edits; i++) {
          itemAt(pages, Math.floor(random() * pages.length)).edit(random);
          await breath(random);
        }
      };
      for (let spell = 0; spell < SPELLS; spell++) {
        await type(20 + Math.floor(random() * 60));
        await allKept(pages);
        for (const page of pages) page.refusals.clear();
        const largest = Math.max(...readdirSync(data).map((of) => statSync(join(data, of)).size));
        writeFileSync(room, String(largest + Math.floor(random() * 30_000)));
        await type(150 + Math.floor(random() * 150));
        await until(() => pages.some((page) => page.refusals.has('not kept')));
        report.count('spells without room');
        lookFor(pages, wordsBeside(file, name), `spell ${spell}, while it is full`, report);
        const health = await ask('/api/health');
        if (health.status !== 503) report.wrong(`health says ${health.status} while the disk is full`);
        const band = await ask('/api/bands', { name: 'One more' });
        if (band.status !== 507 || band.body.error.code !== 'no room')
          report.wrong(`a new band on a full disk: ${band.status} ${JSON.stringify(band.body)}`);
        if ((await ask('/api/session')).status !== 200)
          report.wrong('nothing can be read while the disk is full');
        if (child.exitCode !== null) report.wrong(`the server ended with ${child.exitCode}`);
        rmSync(room);
        await allKept(pages);
        const words = wordsBeside(file, name);
        lookFor(pages, words, `spell ${spell}, with room again`, report);
        allEqual(pages, words, report);
        if ((await ask('/api/bands', { name: 'One more' })).status !== 201)
          report.wrong('no new band could be made when there was room again');
      }
    } finally {
      for (const page of pages) page.opened.destroy();
      running?.child.kill('SIGKILL');
      rmSync(folder, { recursive: true, force: true });
    }
  },
};
