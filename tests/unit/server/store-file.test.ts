import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Damage, StoreEvents } from '../../../server/ports';
import { NoRoom } from '../../../server/ports';
import { openSqliteStore, StoreDamaged, StoreInUse, StoreTooNew } from '../../../server/store';
import { migrateTables, STEPS, type Step, VERSION } from '../../../server/store/tables';
import { joined } from './joined';

const bytes = (...values: number[]) => new Uint8Array(values);
const asLists = (updates: readonly Uint8Array[] | undefined) => updates?.map((update) => [...update]);

let folder: string;
let files = 0;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'breathmark-file-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const freshFile = () => join(folder, `${++files}.sqlite`);
const open = (file: string, events: StoreEvents = {}) =>
  openSqliteStore(file, { merge: joined, events, clock: () => 77 });

function onFile<T>(file: string, act: (db: Database.Database) => T): T {
  const db = new Database(file);
  try {
    return act(db);
  } finally {
    db.close();
  }
}

describe('the file', () => {
  it('holds everything over a close, edits included that were still being gathered', async () => {
    const file = freshFile();
    const store = openSqliteStore(file, { gatherMilliseconds: 10_000 });
    await store.create('d', bytes(1));
    const late = store.append('d', bytes(2));
    await store.close();
    await late;
    const again = openSqliteStore(file);
    expect(asLists((await again.load('d'))?.updates)).toEqual([[1], [2]]);
    await again.close();
  });

  it('is one server’s at a time, and can be read beside it', async () => {
    const file = freshFile();
    const store = open(file);
    await store.create('d', bytes(1));
    expect(() => open(file)).toThrow(StoreInUse);
    expect(onFile(file, (db) => db.prepare('SELECT count(*) AS n FROM updates').get())).toEqual({ n: 1 });
    await store.close();
    await open(file).close();
  });

  it('of a newer program is left alone, and what is no store at all', async () => {
    const file = freshFile();
    onFile(file, (db) => db.pragma('user_version = 99'));
    expect(() => open(file)).toThrow(StoreTooNew);
    const text = freshFile();
    writeFileSync(text, 'Sixteen signs of a text, and more of them: no store.\n'.repeat(100));
    expect(() => open(text)).toThrow(StoreDamaged);
    expect(onFile(file, (db) => db.pragma('user_version', { simple: true }))).toBe(99);
  });

  it('syncs every commit to the disk', async () => {
    // The two settings on which the word 'kept' stands; SQLite's own documentation of them, from memory:
    // in WAL mode only synchronous=FULL (2) or more syncs the log at each commit.
    const seen: unknown[] = [];
    const pragma = Database.prototype.pragma;
    Database.prototype.pragma = function watched(source: string, options?: Database.PragmaOptions) {
      const result = pragma.call(this, source, options);
      if (source.startsWith('synchronous')) {
        seen.push(
          pragma.call(this, 'journal_mode', { simple: true }),
          pragma.call(this, 'synchronous', { simple: true }),
        );
      }
      return result;
    };
    const store = open(freshFile());
    Database.prototype.pragma = pragma;
    expect(seen).toEqual(['wal', 2]);
    await store.close();
  });

  it('holds no byte of a band that was deleted', async () => {
    const file = freshFile();
    const store = open(file);
    const mark = (text: string) => new Uint8Array(Buffer.from(text.repeat(40)));
    await store.addBand('b', 1);
    for (const name of ['band.b', 'song.b.s']) {
      await store.create(name, mark('first-of-b '));
      await store.append(name, mark('second-of-b '));
      await store.compact(name);
      await store.append(name, mark('third-of-b '));
      await store.compact(name);
    }
    await store.create('song.c.s', mark('other '));
    const holds = (text: string) =>
      readdirSync(folder)
        .filter((name) => join(folder, name).startsWith(file))
        .some((name) => readFileSync(join(folder, name)).includes(text));
    expect(holds('-of-b ')).toBe(true);
    await store.deleteBand('b');
    expect([holds('-of-b '), holds('song.b.s'), holds('other ')]).toEqual([false, false, true]);
    await store.close();
  });

  it('commits together what comes together, and says how much', async () => {
    const batches: number[] = [];
    const store = open(freshFile(), { committed: (updates) => batches.push(updates) });
    await store.create('d', bytes(0));
    await Promise.all(Array.from({ length: 100 }, (_, i) => store.append('d', bytes(i))));
    expect(batches).toEqual([100]);
    await store.close();
  });

  it('that is full says so, keeps nothing of what it refused, and goes on when there is room', async () => {
    const file = freshFile();
    // The limit is a setting of a connection, so it goes in as a step that every opening would repeat.
    let connection: Database.Database | null = null;
    const pragma = Database.prototype.pragma;
    Database.prototype.pragma = function caught(source: string, options?: Database.PragmaOptions) {
      connection ??= source.startsWith('foreign_keys') ? this : null;
      return pragma.call(this, source, options);
    };
    const store = open(file);
    Database.prototype.pragma = pragma;
    const limit = (pages: number) => connection?.pragma(`max_page_count = ${pages}`);
    await store.create('d', bytes(1));
    limit(Number(onFile(file, (db) => db.pragma('page_count', { simple: true }))) + 2);
    const large = new Uint8Array(40_000).fill(5);
    const both = await Promise.allSettled([store.append('d', bytes(2)), store.append('d', large)]);
    for (const { status } of both) expect(status).toBe('rejected');
    await expect(store.append('d', large)).rejects.toBeInstanceOf(NoRoom);
    await expect(store.create('e', large)).rejects.toBeInstanceOf(NoRoom);
    expect(asLists((await store.load('d'))?.updates)).toEqual([[1]]);
    expect(await store.load('e')).toBeNull();
    await store.append('d', bytes(3));
    limit(1_000_000);
    await store.append('d', large);
    expect((await store.load('d'))?.updates.map((update) => update.length)).toEqual([1, 1, 40_000]);
    await store.close();
  });
});

describe('damaged rows', () => {
  /** A store with a snapshot (1, 2, 3), what it was made of, and two updates since (4, 5). */
  async function scene(harm: (db: Database.Database) => void) {
    const file = freshFile();
    const store = open(file);
    await store.create('d', bytes(1));
    await store.append('d', bytes(2));
    await store.compact('d');
    await store.append('d', bytes(3));
    await store.compact('d');
    for (const value of [4, 5]) await store.append('d', bytes(value));
    await store.create('other', bytes(9));
    await store.close();
    onFile(file, harm);
    const found: Damage[] = [];
    return { file, found, store: open(file, { damaged: (damage) => found.push(damage) }) };
  }
  const rows = (file: string, sql: string) => onFile(file, (db) => db.prepare(sql).all());

  it('an update is set aside and reported, the rest is served', async () => {
    const { file, found, store } = await scene((db) =>
      db.exec(`UPDATE updates SET data = x'63' WHERE data = x'04'`),
    );
    expect(asLists((await store.load('d'))?.updates)).toEqual([[1, 2, 3], [5]]);
    expect(found).toEqual([{ document: 'd', place: 'update', seq: expect.any(Number) }]);
    expect(asLists((await store.load('d'))?.updates)).toEqual([[1, 2, 3], [5]]);
    expect(found).toHaveLength(1);
    await store.append('d', bytes(6));
    await store.compact('d');
    expect(asLists((await store.load('d'))?.updates)).toEqual([[1, 2, 3, 5, 6]]);
    expect(asLists((await store.load('other'))?.updates)).toEqual([[9]]);
    await store.close();
    expect(rows(file, 'SELECT place, hex(data) AS data, found_at FROM damaged')).toEqual([
      { place: 'update', data: '63', found_at: 77 },
    ]);
  });

  it('a snapshot is made again of what it was made of, and nothing is lost', async () => {
    const { file, found, store } = await scene((db) =>
      db.exec(`UPDATE snapshots SET state = x'010203ff' WHERE document = 1`),
    );
    expect(asLists((await store.load('d'))?.updates)).toEqual([[1, 2], [3], [4], [5]]);
    expect(found).toEqual([{ document: 'd', place: 'snapshot', seq: 0 }]);
    await store.append('d', bytes(6));
    await store.compact('d');
    expect(asLists((await store.load('d'))?.updates)).toEqual([[1, 2, 3, 4, 5, 6]]);
    await store.close();
    expect(rows(file, 'SELECT place, hex(data) AS data FROM damaged')).toEqual([
      { place: 'snapshot', data: '010203FF' },
    ]);
    // The next one can be made again too.
    onFile(file, (db) => db.exec(`UPDATE snapshots SET sum = 0 WHERE document = 1`));
    const again = open(file);
    expect(asLists((await again.load('d'))?.updates)).toEqual([[1, 2], [3], [4], [5], [6]]);
    await again.close();
  });

  it('are found by a compaction too, and kept out of its snapshot', async () => {
    const { found, store } = await scene((db) => {
      db.exec(`UPDATE snapshots SET state = NULL || 'text' WHERE 0`);
      db.exec(`UPDATE updates SET data = 17 WHERE data = x'05'`);
    });
    await store.compact('d');
    expect(asLists((await store.load('d'))?.updates)).toEqual([[1, 2, 3, 4]]);
    expect(found.map(({ place }) => place)).toEqual(['update']);
    await store.close();
  });

  it('that stand under another document are known as damaged', async () => {
    const { found, store } = await scene((db) =>
      db.exec(`UPDATE updates SET document = 1 WHERE data = x'09'`),
    );
    expect(asLists((await store.load('d'))?.updates)).toEqual([[1, 2, 3], [4], [5]]);
    expect(found).toHaveLength(1);
    await store.close();
  });
});

describe('the tables', () => {
  const golden = (version: number) => new URL(`../../golden/store-v${version}.sqlite`, import.meta.url);
  const copyOf = (version: number) => {
    const file = freshFile();
    copyFileSync(golden(version), file);
    return file;
  };
  /** What `write-store.ts` puts in. */
  const large = Array.from({ length: 6000 }, () => 7);

  it.each(Array.from({ length: VERSION }, (_, i) => i + 1))(
    'of version %i are brought up to date with everything in them',
    async (version) => {
      const file = copyOf(version);
      expect(onFile(file, (db) => db.pragma('user_version', { simple: true }))).toBe(version);
      const found: Damage[] = [];
      const store = open(file, { damaged: (damage) => found.push(damage) });
      expect(asLists((await store.load('band.weir'))?.updates)).toEqual([[10]]);
      expect(asLists((await store.load('song.weir.a'))?.updates)).toEqual([
        [20, 21, 22, 23],
        [24, 24],
        [25, 25],
      ]);
      expect(asLists((await store.load('band.mill'))?.updates)).toEqual([large]);
      expect([await store.hasBand('weir'), await store.hasBand('mill')]).toEqual([true, true]);
      const link = { bandId: 'weir', createdAt: 1001, own: false };
      expect(await store.links('weir')).toEqual([
        { ...link, id: 'l1', kind: 'player', endedAt: null },
        { ...link, id: 'l2', kind: 'listener', endedAt: 3000 },
      ]);
      expect((await store.linkBySecret(bytes(2, 2, 2)))?.id).toBe('l2');
      await store.append('song.weir.a', bytes(26));
      await store.compact('song.weir.a');
      expect(asLists((await store.load('song.weir.a'))?.updates)).toEqual([
        [20, 21, 22, 23, 24, 24, 25, 25, 26],
      ]);
      await store.close();
      expect(found).toEqual([]);
      expect(onFile(file, (db) => db.pragma('user_version', { simple: true }))).toBe(VERSION);
      expect(onFile(file, (db) => db.pragma('foreign_key_check'))).toEqual([]);
    },
  );

  const next: Step = {
    from: VERSION,
    adds: 'a mood for every band',
    sql: `ALTER TABLE bands ADD COLUMN mood TEXT NOT NULL DEFAULT 'glad';
          UPDATE bands SET mood = 'sum ' || sum_of(id, x'00');`,
  };

  it('of a next version would be made of these, in one go', async () => {
    const file = copyOf(1);
    onFile(file, (db) => migrateTables(db, [...STEPS, next]));
    const moods = onFile(file, (db) => db.prepare('SELECT mood FROM bands ORDER BY id').pluck().all());
    expect(moods).toHaveLength(2);
    for (const mood of moods) expect(mood).toMatch(/^sum \d+/);
    expect(() => open(file)).toThrow(StoreTooNew);
  });

  it('stay as they were where a step fails, whichever it is', () => {
    const broken: Step = { ...next, sql: `${next.sql} INSERT INTO nowhere VALUES (1);` };
    const file = copyOf(1);
    const dump = () =>
      onFile(file, (db) => [db.prepare('SELECT sql FROM sqlite_schema').all(), db.pragma('user_version')]);
    const before = dump();
    expect(() => onFile(file, (db) => migrateTables(db, [...STEPS, broken]))).toThrow('nowhere');
    expect(dump()).toEqual(before);
    const missing = STEPS.filter(({ from }) => from !== 1);
    expect(() => onFile(file, (db) => migrateTables(db, [...missing, next]))).toThrow('from version 1');
    expect(dump()).toEqual(before);
  });

  it('every step runs on the stored file of an older version', () => {
    expect(STEPS.map(({ from }) => from)).toEqual(Array.from({ length: VERSION }, (_, i) => i));
    for (let version = 1; version <= VERSION; version++)
      expect(onFile(copyOf(version), (db) => db.pragma('user_version', { simple: true }))).toBe(version);
  });
});
