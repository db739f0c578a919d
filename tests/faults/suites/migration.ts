import { copyFileSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { isDeepStrictEqual } from 'node:util';
import Database from 'better-sqlite3';
import * as Y from 'yjs';
import { itemAt } from '../../../lib/base';
import { readSong, SONG_VERSION, versionOf } from '../../../lib/document';
import { inspectStore, openSqliteStore } from '../../../server/store';
import { childFile, ended, freshFolder, start } from '../build';
import { numbered, numbersIn, someFilling, sourceFor } from '../numbered';
import type { Report, Suite } from '../suite';

const golden = (name: string) => new URL(`../../golden/${name}`, import.meta.url);
const SONG = 'song.weir.s';
const LIVES = 3;

/** A store of version 1 with a few hundred numbered updates in it, and a song of the first version. */
function oldStore(file: string, seed: number): number {
  const random = sourceFor(seed, 4);
  copyFileSync(golden('store-v1.sqlite'), file);
  const db = new Database(file);
  const document = (name: string) =>
    db.prepare('INSERT INTO documents (name) VALUES (?)').run(name).lastInsertRowid;
  const update = db.prepare('INSERT INTO updates (document, data) VALUES (?, ?)');
  const count = 100 + Math.floor(random() * 300);
  db.transaction(() => {
    update.run(document(SONG), readFileSync(golden('song-v1.bin')));
    const ids = [document('d0'), document('d1'), document('d2')];
    for (let number = 1; number <= count; number++)
      update.run(itemAt(ids, number % 3), numbered(number, someFilling(random)));
  })();
  db.close();
  return count;
}

function tablesOf(file: string): unknown {
  const db = new Database(file);
  try {
    return db.pragma('user_version', { simple: true });
  } finally {
    db.close();
  }
}

async function lookForAll(file: string, count: number, report: Report): Promise<void> {
  const store = openSqliteStore(file);
  const found: number[] = [];
  for (const name of ['d0', 'd1', 'd2']) found.push(...numbersIn((await store.load(name))?.updates ?? []));
  const there = new Set(found);
  const missing = Array.from({ length: count }, (_, i) => i + 1).filter((number) => !there.has(number));
  report.lost(missing.length, `updates ${missing.slice(0, 10).join(', ')}`);
  report.kept(count);
  if (found.length !== count) report.wrong(`${found.length} updates, and ${count} were put in`);
  const doc = new Y.Doc();
  for (const update of (await store.load(SONG))?.updates ?? []) Y.applyUpdate(doc, update);
  if (versionOf(doc) !== SONG_VERSION) report.wrong(`the song is of version ${versionOf(doc)}`);
  const expected: unknown = JSON.parse(readFileSync(golden('song-v1.json'), 'utf8'));
  if (!isDeepStrictEqual(readSong(doc).song, expected)) report.wrong('the song does not read as it did');
  if ((await store.links('weir')).length !== 2) report.wrong('the links of the band are not there');
  await store.close();
  const { structure } = inspectStore(file, ({ damaged }) => {
    for (const { document, place } of damaged) report.wrong(`a damaged ${place} in ${document}`);
  });
  for (const text of structure) report.wrong(text);
}

/** A store of the first version that is killed while it is brought up to date: first its tables, then a document of it. */
export const migration: Suite = {
  name: 'kills in mid-migration',
  runs: { short: 4, long: 60 },
  async run(seed, report) {
    const random = sourceFor(seed, 3);
    const folder = freshFolder();
    const file = join(folder, 's.sqlite');
    try {
      const count = oldStore(file, seed);
      for (let life = 0; life < LIVES; life++) {
        // The tables again and again, at last the document.
        const work = life < LIVES - 1 ? 'open' : 'document';
        // Most of them in the midst of the rows, some about the commit, some too late.
        const most = work === 'open' ? (random() < 0.6 ? count : count + 60) : 12;
        const least = most > count ? count + 15 : 0;
        const plan = `${work} ${1 + least + Math.floor(random() * (most - least))}`;
        const end = await ended(start(await childFile('migrate'), [file, SONG, plan]));
        if (end === 'SIGKILL') {
          report.kill();
          report.count(`in ${work}`);
          const version = tablesOf(file);
          if (version !== 1 && version !== 2) report.wrong(`the tables are of version ${version}`);
          if (version === 1) report.count('found as it was');
        } else if (end !== 0) report.wrong(`killed in ${plan}, it ended with ${end}`);
      }
      const last = await ended(start(await childFile('migrate'), [file, SONG, 'none']));
      if (last !== 0) report.wrong(`the last start ended with ${last}`);
      await lookForAll(file, count, report);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  },
};
