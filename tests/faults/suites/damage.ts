import { closeSync, copyFileSync, openSync, readFileSync, rmSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { Random } from '../../../lib/base';
import { bandDocument } from '../../../lib/protocol';
import type { Damage } from '../../../server/ports';
import { inspectStore, openSqliteStore } from '../../../server/store';
import { mergeUpdates } from '../../../server/sync/merge';
import { TestServer } from '../../unit/server/harness';
import { freshFolder } from '../build';
import { mergeNumbered, numbered, numbersIn, someFilling, sourceFor } from '../numbered';
import { allAway, allEqual, allKept, breath, lookFor, Page, wordsIn } from '../pages';
import type { Report, Suite } from '../suite';

/** Changes one byte of some rows; how many rows. */
function harmRows(file: string, document: string, random: Random): number {
  const db = new Database(file);
  let harmed = 0;
  try {
    for (const [table, column] of [
      ['updates', 'data'],
      ['snapshots', 'state'],
    ] as const) {
      const rows = db
        .prepare<[string], { id: number; data: Buffer }>(
          `SELECT t.rowid AS id, ${column} AS data FROM ${table} t JOIN documents d ON d.id = t.document WHERE d.name = ?`,
        )
        .all(document);
      for (const { id, data } of rows) {
        if (data.length === 0 || random() > (table === 'snapshots' ? 0.5 : 0.3)) continue;
        const at = Math.floor(random() * data.length);
        data[at] = (data[at] ?? 0) ^ (1 << Math.floor(random() * 8));
        db.prepare(`UPDATE ${table} SET ${column} = ? WHERE rowid = ?`).run(data, id);
        harmed += 1;
      }
    }
  } finally {
    db.close();
  }
  return harmed;
}

/** Rows of one document are damaged while the server is down. */
export const rows: Suite = {
  name: 'damaged rows under people',
  runs: { short: 3, long: 40 },
  async run(seed, report) {
    const random = sourceFor(seed, 7);
    const folder = freshFolder();
    const file = join(folder, 's.sqlite');
    const damaged: Damage[] = [];
    const open = () =>
      openSqliteStore(file, { merge: mergeUpdates, events: { damaged: (damage) => damaged.push(damage) } });
    let store = open();
    let server = await TestServer.start({ store });
    const pages: Page[] = [];
    let quiet: Page | null = null;
    try {
      const { band, cookie } = await server.newBand();
      const other = await server.newBand();
      const name = bandDocument(band.bandId);
      for (const id of ['a', 'b']) pages.push(new Page(id, name, server.port, cookie));
      quiet = new Page('q', bandDocument(other.band.bandId), server.port, other.cookie);
      await Promise.all([...pages, quiet].map((page) => page.opened.settled));
      const { port } = server;
      const everybody = [...pages, quiet];
      for (const rounds of [100, 20]) {
        for (let i = 0; i < rounds; i++) {
          for (const page of everybody) if (random() < 0.7) page.edit(random);
          await breath(random);
          // Beside what is being typed.
          if (i === 50 || i === 80) await store.compact(name);
        }
        await allKept(everybody);
        // A snapshot is made when everybody has gone, but not after the few edits of the second time.
        await server.pullThePlug();
        await allAway(everybody);
        if (rounds === 20) break;
        store = open();
        server = await TestServer.start({ store }, port);
        await allKept(everybody);
      }
      const harmed = harmRows(file, name, random);
      report.count('rows damaged', harmed);
      store = open();
      server = await TestServer.start({ store }, port);
      // Those who still hold what is damaged bring it back.
      await allKept(everybody);
      const missing = harmed - damaged.length;
      if (missing !== 0) report.wrong(`${harmed} rows were damaged, ${damaged.length} were reported`);
      if (damaged.some(({ document }) => document !== name))
        report.wrong('a row of another document was reported');
      const fresh = new Page('f', name, server.port, cookie);
      pages.push(fresh);
      await fresh.opened.settled;
      await server.pullThePlug();
      store = open();
      const words = wordsIn((await store.load(name))?.updates ?? []);
      lookFor(pages, words, 'after the damage', report);
      allEqual(pages, words, report);
      const untouched = wordsIn((await store.load(bandDocument(other.band.bandId)))?.updates ?? []);
      lookFor([quiet], untouched, 'the other band', report);
      allEqual([quiet], untouched, report);
      await store.close();
    } finally {
      for (const page of [...pages, ...(quiet ? [quiet] : [])]) page.opened.destroy();
      await server.stop();
      rmSync(folder, { recursive: true, force: true });
    }
  },
};

/** Single bits of the file are turned, anywhere in it. What is served then is as it was written, or it is told that it is not. */
export const bits: Suite = {
  name: 'turned bits',
  runs: { short: 10, long: 200 },
  async run(seed, report) {
    const random = sourceFor(seed, 8);
    const folder = freshFolder();
    const whole = join(folder, 'whole.sqlite');
    try {
      const store = openSqliteStore(whole, { merge: mergeNumbered });
      const put = new Map<string, number[]>();
      let number = 0;
      for (const name of ['d0', 'd1', 'd2']) {
        const mine: number[] = [];
        put.set(name, mine);
        for (let i = 0; i < 25; i++) {
          number += 1;
          mine.push(number);
          const update = numbered(number, someFilling(random));
          if (i === 0) await store.create(name, update);
          else await store.append(name, update);
          if (i === 10 || i === 15) await store.compact(name);
        }
      }
      await store.close();
      const size = readFileSync(whole).length;
      for (let i = 0; i < 10; i++) {
        const file = join(folder, `${i}.sqlite`);
        copyFileSync(whole, file);
        const at = Math.floor(random() * size);
        turnBit(file, at, Math.floor(random() * 8));
        report.count('bits turned');
        await served(file, put, `bit at ${at}`, report);
      }
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  },
};

function turnBit(file: string, at: number, bit: number): void {
  const byte = readFileSync(file)[at] ?? 0;
  const fd = openSync(file, 'r+');
  writeSync(fd, new Uint8Array([byte ^ (1 << bit)]), 0, 1, at);
  closeSync(fd);
}

async function served(
  file: string,
  put: ReadonlyMap<string, readonly number[]>,
  where: string,
  report: Report,
): Promise<void> {
  let told = false;
  // The check comes first, for serving sets damaged rows aside.
  let checked = false;
  try {
    const { structure } = inspectStore(file, ({ damaged }) => {
      checked ||= damaged.length > 0;
    });
    checked ||= structure.length > 0;
  } catch {
    checked = true;
  }
  let missing = 0;
  try {
    const store = openSqliteStore(file, {
      merge: mergeNumbered,
      events: {
        damaged: () => {
          told = true;
        },
      },
    });
    for (const [name, numbers] of put) {
      try {
        const found = numbersIn((await store.load(name))?.updates ?? []);
        const there = new Set(found);
        missing += numbers.filter((of) => !there.has(of)).length;
        report.kept(numbers.length);
        if (found.some((of) => !numbers.includes(of)))
          report.wrong(`${where}: ${name} holds what was never put in`);
      } catch (error) {
        if (error instanceof Error && error.message.includes('not as it was made'))
          report.wrong(`${where}: ${name} was served damaged`);
        told = true;
      }
    }
    await store.close();
  } catch {
    told = true;
  }
  if (told) report.count('told when served');
  else if (missing > 0 && checked) report.count('told by the check alone');
  else if (missing > 0) report.lost(missing, `${where}: nobody was told`);
}
