import * as idb from 'lib0/indexeddb';
import { IndexeddbPersistence } from 'y-indexeddb';
import type * as Y from 'yjs';
import { databaseOf, Ledger, sum, type Unkept } from './ledger';

/** A device that does not answer within so many milliseconds is taken to keep nothing. */
const PATIENCE = 3000;

/**
 * One document as this device holds it: loaded into the document at once, and every change written as it comes. It
 * says for each moment whether all of it is written, and remembers how many edits the server has not called kept.
 */
export class DeviceCopy {
  /** What the server last said that may be done here; null where the document has never arrived whole. */
  mayEdit: boolean | null;
  /** Edits that were loaded with the document, and that the server had not called kept. */
  readonly loaded: Unkept | null;
  readonly #name: string;
  readonly #doc: Y.Doc;
  readonly #ledger: Ledger;
  readonly #persistence: IndexeddbPersistence;
  readonly #onChange: () => void;
  /** Windows in which those were made; when the document is kept, they are. */
  #windows: readonly number[];
  #lastKey = 0;
  #writing = 0;
  #works = true;
  #isOver = false;

  private constructor(given: {
    readonly name: string;
    readonly doc: Y.Doc;
    readonly ledger: Ledger;
    readonly persistence: IndexeddbPersistence;
    readonly mayEdit: boolean | null;
    readonly unkept: ReadonlyMap<number, Unkept>;
    readonly onChange: () => void;
  }) {
    this.#name = given.name;
    this.#doc = given.doc;
    this.#ledger = given.ledger;
    this.#persistence = given.persistence;
    this.#onChange = given.onChange;
    this.mayEdit = given.mayEdit;
    this.#windows = [...given.unkept.keys()];
    this.loaded = sum([...given.unkept.values()]);
  }

  /**
   * Loads what is held of a document into it. Null where this device keeps nothing. `onChange` is called when what it
   * says of itself may have changed.
   */
  static async open(name: string, doc: Y.Doc, onChange: () => void): Promise<DeviceCopy | null> {
    const ledger = await inTime(Ledger.open());
    if (!ledger) return null;
    let persistence: IndexeddbPersistence | null = null;
    try {
      const held = await ledger.held(name);
      if (!held) await ledger.hold(name, null);
      const unkept = await ledger.unkept(name);
      persistence = new IndexeddbPersistence(databaseOf(name), doc);
      if ((await inTime(persistence.whenSynced)) === null) throw new Error('the device does not answer');
      const mayEdit = held?.mayEdit ?? null;
      const copy = new DeviceCopy({ name, doc, ledger, persistence, mayEdit, unkept, onChange });
      await copy.#begin();
      return copy;
    } catch {
      void persistence?.destroy();
      ledger.close();
      return null;
    }
  }

  async #begin(): Promise<void> {
    this.#lastKey = await this.#newestKey();
    const { db } = this.#persistence;
    if (db) {
      // Taken away from outside (by another window, or by the browser): nothing may be written to it any more.
      db.onversionchange = () => this.#lose();
      db.onclose = () => this.#lose();
    }
    this.#doc.on('update', this.#onUpdate);
  }

  /** False from the moment when something could not be written. */
  get works(): boolean {
    return this.#works && !this.#isOver;
  }

  /** Whether all that stands in the document is written. */
  get isWritten(): boolean {
    return this.works && this.#writing === 0;
  }

  /** The document has arrived whole, and this may be done to it. */
  async arrived(mayEdit: boolean): Promise<void> {
    if (!this.works || this.mayEdit === mayEdit) return;
    this.mayEdit = mayEdit;
    await this.#attempt(async () => {
      // Only what is written counts as held.
      await this.#newestKey();
      await this.#ledger.hold(this.#name, { mayEdit });
    });
  }

  /** Remembers the edits that were made in this window and are not kept yet. */
  note(unkept: Unkept): void {
    if (this.works) void this.#attempt(() => this.#ledger.noteUnkept(this.#name, this.#doc.clientID, unkept));
  }

  /** The server has called every edit kept, also those that were loaded. */
  kept(): void {
    if (!this.works) return;
    const windows = [this.#doc.clientID, ...this.#windows];
    this.#windows = [];
    void this.#attempt(() => this.#ledger.clearUnkept(this.#name, windows));
  }

  /** Stops writing; what is held stays. */
  async close(): Promise<void> {
    if (this.#isOver) return;
    this.#isOver = true;
    this.#doc.off('update', this.#onUpdate);
    await this.#persistence.destroy();
    this.#ledger.close();
  }

  readonly #onUpdate = (_update: Uint8Array, origin: unknown): void => {
    if (origin !== this.#persistence && this.works) void this.#confirm();
  };

  /** The library says nothing of its writes, so the store is asked: a read that stands behind a write sees its row. */
  async #confirm(): Promise<void> {
    this.#writing += 1;
    await this.#attempt(async () => {
      const newest = await this.#newestKey();
      if (newest <= this.#lastKey && this.#writing === 1) throw new Error('not written');
      this.#lastKey = Math.max(newest, this.#lastKey);
    });
    this.#writing -= 1;
    if (this.#writing === 0) this.#onChange();
  }

  async #newestKey(): Promise<number> {
    const { db } = this.#persistence;
    if (!db) throw new Error('the database is closed');
    const key: unknown = await idb.getLastKey(db.transaction('updates', 'readonly').objectStore('updates'));
    return typeof key === 'number' ? key : 0;
  }

  async #attempt(act: () => Promise<void>): Promise<void> {
    try {
      await act();
    } catch {
      if (!this.#isOver) this.#lose();
    }
  }

  #lose(): void {
    this.#works = false;
    void this.close();
    this.#onChange();
  }
}

/** Null where it takes too long or fails. */
function inTime<T>(promise: Promise<T>): Promise<T | null> {
  return new Promise((resolve) => {
    const timer = setTimeout(() => resolve(null), PATIENCE);
    const end = (value: T | null) => {
      clearTimeout(timer);
      resolve(value);
    };
    promise.then(end, () => end(null));
  });
}
