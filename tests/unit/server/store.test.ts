import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Store, startThread } from '../../../server/ports';
import { memoryStore, openSqliteStore, openWorkerStore } from '../../../server/store';
import { joined } from './joined';

const bytes = (...values: number[]) => new Uint8Array(values);
const asLists = (updates: readonly Uint8Array[] | undefined) => updates?.map((update) => [...update]);

let folder: string;
let files = 0;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'breathmark-store-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const freshFile = () => join(folder, `${++files}.sqlite`);
const thread = (file: string) =>
  startThread(new URL('./joined-worker.ts', import.meta.url), { workerData: file });

describe.each([
  ['in memory', async () => memoryStore(joined)],
  ['in SQLite', async () => openSqliteStore(freshFile(), { merge: joined })],
  ['in SQLite, in a thread of its own', () => openWorkerStore(thread(freshFile()))],
] as const)('the contract of a store, %s', (_name, make) => {
  const using = async (act: (store: Store) => Promise<void>) => {
    const store = await make();
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
      await store.compact('song.a.b');
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

  it('answers for edits in the order in which they came', () =>
    using(async (store) => {
      await store.create('d', bytes(0));
      const order: number[] = [];
      await Promise.all([1, 2, 3].map((i) => store.append('d', bytes(i)).then(() => order.push(i))));
      expect(order).toEqual([1, 2, 3]);
    }));

  it('refuses an edit of a document that is not there, and that edit alone', () =>
    using(async (store) => {
      await store.create('d', bytes(0));
      const [first, stray, second] = await Promise.allSettled([
        store.append('d', bytes(1)),
        store.append('nobody', bytes(9)),
        store.append('d', bytes(2)),
      ]);
      expect([first?.status, stray?.status, second?.status]).toEqual(['fulfilled', 'rejected', 'fulfilled']);
      expect(asLists((await store.load('d'))?.updates)).toEqual([[0], [1], [2]]);
    }));

  it('keeps what was given, also when the giver writes over it afterwards', () =>
    using(async (store) => {
      // In one buffer with other things, as decoders hand them out.
      const given = bytes(7, 1, 2, 3, 7).subarray(1, 4);
      await store.create('d', given);
      const more = bytes(8, 4, 8).subarray(1, 2);
      await store.append('d', more);
      given.fill(9);
      more.fill(9);
      expect(asLists((await store.load('d'))?.updates)).toEqual([[1, 2, 3], [4]]);
    }));

  it('keeps empty updates and large ones', () =>
    using(async (store) => {
      const large = new Uint8Array(3_000_000).map((_, i) => i % 251);
      await store.create('d', bytes());
      await store.append('d', large);
      const stored = await store.load('d');
      expect(stored?.updates.map((update) => update.length)).toEqual([0, large.length]);
      expect(Buffer.compare(Buffer.from(stored?.updates[1] ?? []), Buffer.from(large))).toBe(0);
    }));

  it('puts a snapshot first, and counts what lies behind it', () =>
    using(async (store) => {
      await store.create('d', bytes(1));
      await store.append('d', bytes(2));
      await store.compact('d');
      expect(await store.load('d')).toMatchObject({ sinceSnapshot: 0 });
      await store.append('d', bytes(3));
      const stored = await store.load('d');
      expect(asLists(stored?.updates)).toEqual([[1, 2], [3]]);
      expect(stored?.sinceSnapshot).toBe(1);
      await store.compact('d');
      expect(asLists((await store.load('d'))?.updates)).toEqual([[1, 2, 3]]);
      await store.compact('d');
      expect(asLists((await store.load('d'))?.updates)).toEqual([[1, 2, 3]]);
    }));

  it('leaves everything as it was where the merge fails', () =>
    using(async (store) => {
      await store.create('d', bytes(1));
      await store.append('d', bytes(255));
      await expect(store.compact('d')).rejects.toThrow('cannot be merged');
      expect(asLists((await store.load('d'))?.updates)).toEqual([[1], [255]]);
      await store.append('d', bytes(3));
      expect(asLists((await store.load('d'))?.updates)).toEqual([[1], [255], [3]]);
    }));

  it('loses, doubles and reorders nothing, whatever is called beside what', () =>
    using(async (store) => {
      let documents = 0;
      const names = ['a', 'b', 'c'] as const;
      const call = fc.record({
        what: fc.constantFrom('append', 'append', 'append', 'compact', 'load'),
        name: fc.constantFrom(...names),
        wait: fc.boolean(),
      });
      await fc.assert(
        fc.asyncProperty(fc.array(call, { maxLength: 60 }), async (calls) => {
          documents += 1;
          const told = new Map<string, number[]>();
          for (const name of names) {
            await store.create(`${name}${documents}`, bytes());
            told.set(name, []);
          }
          const pending: Promise<unknown>[] = [];
          let value = 0;
          for (const { what, name, wait } of calls) {
            const document = `${name}${documents}`;
            if (what === 'append') {
              value += 1;
              told.get(name)?.push(value);
              pending.push(store.append(document, bytes(value)));
            } else if (what === 'compact') pending.push(store.compact(document));
            else {
              // A load sees everything that was handed in before it.
              const now = [...(told.get(name) ?? [])];
              pending.push(
                store.load(document).then((stored) => expect(asLists(stored?.updates)?.flat()).toEqual(now)),
              );
            }
            if (wait) await Promise.all(pending);
          }
          await Promise.all(pending);
          for (const name of names) {
            const stored = await store.load(`${name}${documents}`);
            expect(asLists(stored?.updates)?.flat()).toEqual(told.get(name));
          }
        }),
        { numRuns: 60 },
      );
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
      const link = {
        id: 'l',
        bandId: 'b',
        kind: 'player',
        createdAt: 3,
        endedAt: null,
        own: false,
      } as const;
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
      const own = { ...link, id: 'o', own: true };
      await store.addLink(own, bytes(5));
      expect(await store.link('o')).toEqual(own);
    }));

  it('deletes a band with its links and documents, and nothing of any other', () =>
    using(async (store) => {
      const link = { kind: 'player', createdAt: 3, endedAt: null, own: false } as const;
      for (const [i, band] of ['b', 'bb', 'c'].entries()) {
        await store.addBand(band, 1);
        await store.addLink({ ...link, id: `link-${band}`, bandId: band }, bytes(i));
        for (const name of [`band.${band}`, `song.${band}.s`, `song.${band}.t`])
          await store.create(name, bytes(i));
        await store.append(`song.${band}.s`, bytes(i));
        await store.compact(`song.${band}.s`);
      }
      const late = store.append('song.b.s', bytes(9));
      await store.deleteBand('b');
      await late;
      expect(await store.hasBand('b')).toBe(false);
      expect(await store.link('link-b')).toBeNull();
      for (const name of ['band.b', 'song.b.s', 'song.b.t']) {
        expect(await store.load(name)).toBeNull();
        await expect(store.append(name, bytes(1))).rejects.toThrow();
      }
      for (const band of ['bb', 'c']) {
        expect(await store.hasBand(band)).toBe(true);
        expect(await store.link(`link-${band}`)).not.toBeNull();
        for (const name of [`band.${band}`, `song.${band}.s`, `song.${band}.t`])
          expect(await store.load(name)).not.toBeNull();
      }
      expect(await store.create('song.b.s', bytes(5))).toBe(true);
      await store.append('song.b.s', bytes(6));
      expect(asLists((await store.load('song.b.s'))?.updates)).toEqual([[5], [6]]);
      await store.deleteBand('b');
    }));

  it('can be asked whether it could keep something', () =>
    using(async (store) => {
      await store.create('d', bytes(1));
      await store.probe();
      expect(asLists((await store.load('d'))?.updates)).toEqual([[1]]);
    }));
});

describe('a store in a thread of its own', () => {
  it('says so when its thread ends unasked, and keeps no caller waiting', async () => {
    const worker = thread(freshFile());
    const broken: Error[] = [];
    const store = await openWorkerStore(worker, { broken: (error) => broken.push(error) });
    await store.create('d', bytes(1));
    const late = expect(store.append('d', bytes(2))).rejects.toThrow('ended');
    const asked = expect(store.load('d')).rejects.toThrow('ended');
    await worker.terminate();
    await Promise.all([late, asked]);
    await expect(store.append('d', bytes(3))).rejects.toThrow('ended');
    expect(broken).toHaveLength(1);
  });

  it('is not taken for broken when it is closed', async () => {
    const broken: Error[] = [];
    const store = await openWorkerStore(thread(freshFile()), { broken: (error) => broken.push(error) });
    await store.create('d', bytes(1));
    const late = store.append('d', bytes(2));
    await store.close();
    await late;
    await store.close();
    expect(broken).toEqual([]);
  });
});
