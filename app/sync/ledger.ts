import * as idb from 'lib0/indexeddb';
import { z } from 'zod';

/** What this device notes of a document that it holds whole. */
export interface HeldNote {
  /** What the server last said that may be done here. */
  readonly mayEdit: boolean;
}

/** Edits that the server has not called kept. */
export interface Unkept {
  readonly count: number;
  /** When the first of them was made, in milliseconds since 1970. */
  readonly since: number;
}

/** All of them together; null: none. */
export function sum(all: readonly (Unkept | null)[]): Unkept | null {
  return all.reduce(
    (one, other) =>
      one && other
        ? { count: one.count + other.count, since: Math.min(one.since, other.since) }
        : (one ?? other),
    null,
  );
}

const heldSchema = z.object({ mayEdit: z.boolean() });
const unkeptSchema = z.object({ count: z.int().positive(), since: z.number() });

const NAME = 'breathmark';
const DOCUMENTS = 'documents';
const UNKEPT = 'unkept';

/**
 * The list of documents that this device holds: by name, with what may be done to them, and by name and window, how
 * many edits are on this device only. The documents themselves lie in databases of their own (see `databaseOf`).
 */
export class Ledger {
  readonly #db: IDBDatabase;

  private constructor(db: IDBDatabase) {
    this.#db = db;
  }

  /** Null where this device keeps nothing for pages, as in some private windows. */
  static async open(): Promise<Ledger | null> {
    if (typeof indexedDB === 'undefined') return null;
    try {
      return new Ledger(await idb.openDB(NAME, (db) => idb.createStores(db, [[DOCUMENTS], [UNKEPT]])));
    } catch {
      return null;
    }
  }

  close(): void {
    this.#db.close();
  }

  /** The names of all documents that are held, whole or not. */
  async names(): Promise<readonly string[]> {
    const keys: unknown[] = await idb.getAllKeys(this.#store(DOCUMENTS, 'readonly'));
    return keys.filter((key) => typeof key === 'string');
  }

  /** Null where the document is not held, or has never arrived whole. */
  async held(name: string): Promise<HeldNote | null> {
    const read = heldSchema.safeParse(await idb.get(this.#store(DOCUMENTS, 'readonly'), name));
    return read.success ? read.data : null;
  }

  /** `note` null: it is being held and has not arrived whole. */
  async hold(name: string, note: HeldNote | null): Promise<void> {
    // The helper's types know no objects; the store takes them.
    await idb.rtop(this.#store(DOCUMENTS).put(note ?? {}, name));
  }

  /** By window. */
  async unkept(name: string): Promise<ReadonlyMap<number, Unkept>> {
    const rows = await idb.getAllKeysValues(this.#store(UNKEPT, 'readonly'), rangeOf(name));
    const found = new Map<number, Unkept>();
    for (const { k, v } of rows) {
      const read = unkeptSchema.safeParse(v);
      if (read.success) found.set(Number(String(k).slice(name.length + 1)), read.data);
    }
    return found;
  }

  async noteUnkept(name: string, windowId: number, unkept: Unkept): Promise<void> {
    await idb.rtop(this.#store(UNKEPT).put(unkept, unkeptKey(name, windowId)));
  }

  async clearUnkept(name: string, windowIds: Iterable<number>): Promise<void> {
    const store = this.#store(UNKEPT);
    await Promise.all([...windowIds].map((windowId) => idb.del(store, unkeptKey(name, windowId))));
  }

  /** Takes a document and its rows off the device. */
  async remove(name: string): Promise<void> {
    await idb.deleteDB(databaseOf(name));
    await idb.del(this.#store(DOCUMENTS), name);
    await idb.del(this.#store(UNKEPT), rangeOf(name));
  }

  #store(name: string, access: 'readonly' | 'readwrite' = 'readwrite'): IDBObjectStore {
    return this.#db.transaction(name, access).objectStore(name);
  }
}

/** The database that holds one document. */
export const databaseOf = (name: string): string => `${NAME} ${name}`;

// A document's name has no space in it.
const unkeptKey = (name: string, windowId: number): string => `${name} ${windowId}`;
const rangeOf = (name: string): IDBKeyRange => IDBKeyRange.bound(`${name} `, `${name} \u{ffff}`);
