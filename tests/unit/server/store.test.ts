import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Store } from '../../../server/ports';
import { memoryStore, openSqliteStore, StoreInUse, StoreTooNew } from '../../../server/store';

const bytes = (...values: number[]) => new Uint8Array(values);
const asLists = (updates: readonly Uint8Array[] | undefined) => updates?.map((update) => [...update]);
/** Stands in for the real merge: a store does not look into what it keeps. */
const joined = (updates: readonly Uint8Array[]) => new Uint8Array(updates.flatMap((update) => [...update]));

let folder: string;
let files = 0;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'breathmark-store-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const freshFile = () => join(folder, `${++files}.sqlite`);

describe.each([
  ['in memory', () => memoryStore()],
  ['in SQLite', () => openSqliteStore(freshFile())],
] as const)('the contract of a store, %s', (_name, make) => {
  const using = async (act: (store: Store) => Promise<void>) => {
    const store = make();
    try {
      await act(store);
    } finally {
      await store.close();
    }
  };

  it('has no document that nobody made', () =>
    using(async (store) => {
      expect(await store.load('song.a.b')).toBeNull();
      await expect(store.append('song.a.b', bytes(1))).rejects.toThrow();
      expect(await store.load('song.a.b')).toBeNull();
    }));

  it('makes a document once', () =>
    using(async (store) => {
      expect(await store.create('d', bytes(1))).toBe(true);
      expect(await store.create('d', bytes(2))).toBe(false);
      expect(asLists((await store.load('d'))?.updates)).toEqual([[1]]);
    }));

  it('gives updates back in the order of the calls, document by document', () =>
    using(async (store) => {
      await store.create('d', bytes(0));
      await store.create('e', bytes(100));
      await Promise.all(
        Array.from({ length: 50 }, (_, i) => store.append(i % 2 === 0 ? 'd' : 'e', bytes(i))),
      );
      const even = Array.from({ length: 25 }, (_, i) => [2 * i]);
      const odd = Array.from({ length: 25 }, (_, i) => [2 * i + 1]);
      expect(asLists((await store.load('d'))?.updates)).toEqual([[0], ...even]);
      expect(asLists((await store.load('e'))?.updates)).toEqual([[100], ...odd]);
    }));

  it('keeps what was given, also when the giver writes over it afterwards', () =>
    using(async (store) => {
      const given = bytes(1, 2, 3);
      await store.create('d', given);
      const more = bytes(4);
      await store.append('d', more);
      given.fill(9);
      more.fill(9);
      expect(asLists((await store.load('d'))?.updates)).toEqual([[1, 2, 3], [4]]);
    }));

  it('puts a snapshot first, and counts what lies behind it', () =>
    using(async (store) => {
      await store.create('d', bytes(1));
      await store.append('d', bytes(2));
      await store.compact('d', joined);
      expect(await store.load('d')).toMatchObject({ sinceSnapshot: 0 });
      await store.append('d', bytes(3));
      const stored = await store.load('d');
      expect(asLists(stored?.updates)).toEqual([[1, 2], [3]]);
      expect(stored?.sinceSnapshot).toBe(1);
      await store.compact('d', joined);
      expect(asLists((await store.load('d'))?.updates)).toEqual([[1, 2, 3]]);
    }));

  it('leaves everything as it was where the merge fails', () =>
    using(async (store) => {
      await store.create('d', bytes(1));
      await store.append('d', bytes(2));
      const failing = () => {
        throw new Error('cannot be merged');
      };
      await expect(store.compact('d', failing)).rejects.toThrow('cannot be merged');
      expect(asLists((await store.load('d'))?.updates)).toEqual([[1], [2]]);
      await store.append('d', bytes(3));
      expect(asLists((await store.load('d'))?.updates)).toEqual([[1], [2], [3]]);
    }));

  it('keeps bands once', () =>
    using(async (store) => {
      expect(await store.hasBand('b')).toBe(false);
      expect(await store.addBand('b', 5)).toBe(true);
      expect(await store.addBand('b', 6)).toBe(false);
      expect(await store.hasBand('b')).toBe(true);
    }));

  it('finds links by the hash of their secret, and ends them for good', () =>
    using(async (store) => {
      await store.addBand('b', 1);
      await store.addBand('c', 1);
      const link = { id: 'l', bandId: 'b', kind: 'player', createdAt: 3, endedAt: null } as const;
      await store.addLink(link, bytes(1, 2));
      expect(await store.linkBySecret(bytes(1, 2))).toEqual(link);
      expect(await store.linkBySecret(bytes(1, 3))).toBeNull();
      expect(await store.link('l')).toEqual(link);
      expect(await store.links('c')).toEqual([]);
      expect(await store.endLink('c', 'l', 9)).toBe(false);
      expect(await store.endLink('b', 'l', 9)).toBe(true);
      expect(await store.endLink('b', 'l', 10)).toBe(false);
      expect(await store.links('b')).toEqual([{ ...link, endedAt: 9 }]);
      const twin = { ...link, id: 'm' };
      await expect(store.addLink(twin, bytes(1, 2))).rejects.toThrow();
      await expect(store.addLink({ ...twin, bandId: 'nobody' }, bytes(4))).rejects.toThrow();
    }));
});

describe('the file', () => {
  it('holds everything over a close, edits included that were still being gathered', async () => {
    const file = freshFile();
    const store = openSqliteStore(file, { groupMilliseconds: 10_000 });
    await store.create('d', bytes(1));
    const late = store.append('d', bytes(2));
    await store.close();
    await late;
    const again = openSqliteStore(file);
    expect(asLists((await again.load('d'))?.updates)).toEqual([[1], [2]]);
    await again.close();
  });

  it('answers for edits in the order in which they came', async () => {
    const file = freshFile();
    const store = openSqliteStore(file, { groupMilliseconds: 5 });
    await store.create('d', bytes(0));
    const order: number[] = [];
    await Promise.all([1, 2, 3].map((i) => store.append('d', bytes(i)).then(() => order.push(i))));
    expect(order).toEqual([1, 2, 3]);
    await store.close();
  });

  it('is one server’s at a time', async () => {
    const file = freshFile();
    const store = openSqliteStore(file);
    expect(() => openSqliteStore(file)).toThrow(StoreInUse);
    await store.close();
    await openSqliteStore(file).close();
  });

  it('of a newer program is left alone', () => {
    const file = freshFile();
    const db = new Database(file);
    db.pragma('user_version = 99');
    db.close();
    expect(() => openSqliteStore(file)).toThrow(StoreTooNew);
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
    const store = openSqliteStore(freshFile());
    Database.prototype.pragma = pragma;
    expect(seen).toEqual(['wal', 2]);
    await store.close();
  });
});
