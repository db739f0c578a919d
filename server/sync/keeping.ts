import type { DocumentStore } from '../ports';
import type { Connection } from './connection';

/** Updates behind a snapshot after which a new one is made: when the room empties, and while it is open. */
const COMPACT_WHEN_EMPTY = 50;
const COMPACT_WHEN_OPEN = 1000;

/** For rooms that wait for nothing. */
const DONE = Promise.resolve();

/** Hears that a change could not be kept. */
export interface Loser {
  lose(): void;
}

/**
 * What of one document is on its way into the store, and who is to be told when it is there. Edits whose commit failed
 * are never called kept. Most rooms have nothing on its way most of the time, so that no table is kept for it.
 */
export class Keeping {
  readonly #name: string;
  readonly #store: DocumentStore;
  readonly #loser: Loser;
  /** Changes that the store has not been handed, and whose frames are in them up to which. */
  #waiting: Uint8Array[] | null = null;
  #makers: Map<Connection, number> | null = null;
  #lastCommit = DONE;
  #sinceSnapshot = 0;
  /** So many updates behind the snapshot call for a new one; farther off after each that failed. */
  #compactAt = COMPACT_WHEN_OPEN;
  #compacting = false;

  constructor(name: string, store: DocumentStore, loser: Loser) {
    this.#name = name;
    this.#store = store;
    this.#loser = loser;
  }

  /** How many updates the store held behind its snapshot when it was read. */
  found(sinceSnapshot: number): void {
    this.#sinceSnapshot = sinceSnapshot;
  }

  /** Takes a change to be kept. */
  put(update: Uint8Array): void {
    if (this.#waiting === null) this.#waiting = [update];
    else this.#waiting.push(update);
  }

  /** Notes that what a socket has sent so far is in what was put. */
  madeBy(maker: Connection): void {
    this.#makers ??= new Map();
    this.#makers.set(maker, maker.taken);
  }

  /** Hands to the store what it has not got, and has the makers told when that is kept. */
  handIn(): void {
    const updates = this.#waiting;
    const makers = this.#makers;
    if (updates === null && makers === null) return;
    this.#waiting = null;
    this.#makers = null;
    if (updates !== null) for (const update of updates) this.#append(update);
    const commit = this.#lastCommit;
    // Even where a frame brought nothing new: what it holds may have come by another socket and be on its way.
    commit.then(
      () => {
        if (makers !== null) for (const [from, count] of makers) from.keep(count);
        if (this.#lastCommit === commit) this.#lastCommit = DONE;
      },
      () => {},
    );
    if (this.#sinceSnapshot > this.#compactAt) void this.#compact();
  }

  #append(update: Uint8Array): void {
    this.#sinceSnapshot += 1;
    const commit = this.#store.append(this.#name, update);
    this.#lastCommit = Promise.all([this.#lastCommit, commit]).then(() => {});
    this.#lastCommit.catch(() => this.#loser.lose());
  }

  /** Resolves when all that was handed in is kept; rejects when it could not be. */
  get done(): Promise<void> {
    return this.#lastCommit;
  }

  /** Commits what waits, and makes a snapshot where that is worth it. */
  async close(): Promise<void> {
    this.handIn();
    try {
      await this.#lastCommit;
      if (this.#sinceSnapshot > COMPACT_WHEN_EMPTY) await this.#compact();
    } catch {
      // Those whose edits were lost were told by the room's failing.
    }
  }

  /** Forgets what waits: nothing more is handed in, and nobody is told. */
  drop(): void {
    this.#waiting = null;
    this.#makers = null;
  }

  /** A snapshot in the place of many updates; if it fails, the updates still stand. */
  async #compact(): Promise<void> {
    if (this.#compacting) return;
    this.#compacting = true;
    try {
      await this.#store.compact(this.#name);
      this.#sinceSnapshot = 0;
      this.#compactAt = COMPACT_WHEN_OPEN;
    } catch {
      // The updates still stand: tried again after as many more, or when the room empties.
      this.#compactAt = this.#sinceSnapshot + COMPACT_WHEN_OPEN;
    } finally {
      this.#compacting = false;
    }
  }
}
