import * as Y from 'yjs';
import type { RefusalCode } from '../../lib/protocol';
import type { DocumentStore } from '../ports';
import type { Connection } from './connection';
import { type Frame, presenceFrame, rightsFrame, step1Frame, step2Frame, updateFrame } from './frames';
import { mergeUpdates } from './merge';
import { Presence } from './presence';

export type RoomState = 'loading' | 'open' | 'closing' | 'failed';

/** Updates behind a snapshot after which a new one is made: when the room empties, and while it is open. */
const COMPACT_WHEN_EMPTY = 50;
const COMPACT_WHEN_OPEN = 1000;

/**
 * One document while it is open. Nothing is sent or stored before its load has succeeded. Every change is handed to
 * the store in the order in which it was made and passed on to everybody but its maker; a change that could not be
 * kept fails the room, and everybody comes back to what is kept, with their own edits still in their pages.
 */
export class Room {
  readonly name: string;
  /** Resolves when it is open; rejects when the document cannot be had. */
  readonly opened: Promise<void>;
  readonly #store: DocumentStore;
  readonly #onFailed: (room: Room) => void;
  readonly #doc = new Y.Doc();
  readonly #presence = new Presence();
  readonly #connections = new Set<Connection>();
  #state: RoomState = 'loading';
  #lastCommit: Promise<void> = Promise.resolve();
  #sinceSnapshot = 0;
  #compacting = false;
  /** What a frame has brought so far, while it is being applied. */
  #applying: Uint8Array[] | null = null;

  constructor(
    name: string,
    store: DocumentStore,
    migrate: (doc: Y.Doc) => void,
    onFailed: (room: Room) => void,
  ) {
    this.name = name;
    this.#store = store;
    this.#onFailed = onFailed;
    this.opened = this.#load(migrate);
    // Whoever waits hears of it; that nobody waits is no fault.
    this.opened.catch(() => {});
  }

  get state(): RoomState {
    return this.#state;
  }

  get size(): number {
    return this.#connections.size;
  }

  async #load(migrate: (doc: Y.Doc) => void): Promise<void> {
    try {
      const stored = await this.#store.load(this.name);
      if (stored === null) throw new NoDocument(this.name);
      for (const update of stored.updates) Y.applyUpdate(this.#doc, update);
      this.#sinceSnapshot = stored.sinceSnapshot;
      this.#doc.on('update', this.#onUpdate);
      migrate(this.#doc);
      await this.#lastCommit;
      this.#state = 'open';
    } catch (error) {
      this.#state = 'failed';
      this.#doc.destroy();
      this.#onFailed(this);
      throw error;
    }
  }

  readonly #onUpdate = (update: Uint8Array, origin: unknown): void => {
    if (this.#applying) this.#applying.push(update);
    else this.#passOn(update, origin);
  };

  /** Hands a change to the store, and to everybody but its maker. */
  #passOn(update: Uint8Array, origin: unknown): void {
    this.#append(update);
    if (this.#connections.size === 0) return;
    const frame = updateFrame(update);
    for (const other of this.#connections) if (other !== origin) other.send(frame);
  }

  #append(update: Uint8Array): void {
    this.#sinceSnapshot += 1;
    const commit = this.#store.append(this.name, update);
    this.#lastCommit = Promise.all([this.#lastCommit, commit]).then(() => {});
    this.#lastCommit.catch(() => this.fail('not kept'));
  }

  /** Lets a socket in; the room is open. It is told its rights, asked for its edits, and shown who is here. */
  join(connection: Connection): void {
    this.#connections.add(connection);
    connection.send(rightsFrame(connection.kind === 'player'));
    // A listener has no edits to ask for.
    if (connection.kind === 'player') connection.send(step1Frame(this.#doc));
    const here = this.#presence.all();
    if (here.length > 0) connection.send(presenceFrame(here));
  }

  leave(connection: Connection): void {
    if (!this.#connections.delete(connection)) return;
    this.#tellPresence(this.#presence.leave(connection), null);
  }

  /** Acts on one frame of a socket that is in the room. */
  take(connection: Connection, frame: Frame): void {
    switch (frame.kind) {
      case 'step 1':
        connection.send(step2Frame(this.#doc, frame.stateVector));
        return;
      case 'edits':
        this.#takeEdits(connection, frame.update);
        return;
      case 'presence':
        this.#tellPresence(this.#presence.take(connection, frame.entries), connection);
        return;
      case 'ask presence':
        connection.send(presenceFrame(this.#presence.all()));
        return;
    }
  }

  #takeEdits(connection: Connection, update: Uint8Array): void {
    // Dropped whole, and never called kept.
    if (connection.kind !== 'player') return;
    connection.taken += 1;
    const count = connection.taken;
    const applied: Uint8Array[] = [];
    this.#applying = applied;
    try {
      Y.applyUpdate(this.#doc, update, connection);
    } catch {
      // It could be decoded and yet not applied: the document is not to be trusted, and nothing of it is kept.
      connection.refuse('bad frame');
      this.fail('not loaded');
      return;
    } finally {
      this.#applying = null;
    }
    for (const part of applied) this.#passOn(part, connection);
    // Edits whose foundations have not arrived wait in the document without an update event of their own.
    const { pendingStructs, pendingDs } = this.#doc.store;
    if (pendingStructs !== null || pendingDs !== null) this.#append(new Uint8Array(update));
    // Even where the frame brought nothing new: what it holds may have come by another socket and be on its way.
    this.#lastCommit.then(
      () => connection.keep(count),
      () => {},
    );
    if (this.#sinceSnapshot > COMPACT_WHEN_OPEN) void this.#compact();
  }

  #tellPresence(news: Parameters<typeof presenceFrame>[0], from: Connection | null): void {
    if (news.length === 0) return;
    const frame = presenceFrame(news);
    for (const other of this.#connections) if (other !== from) other.send(frame);
  }

  /** Reads the document as it stands. */
  read<T>(reader: (doc: Y.Doc) => T): T {
    this.#mustBeOpen();
    return reader(this.#doc);
  }

  /** Makes an edit of the server's own; resolves when it is kept. */
  async edit(change: (doc: Y.Doc) => void): Promise<void> {
    this.#mustBeOpen();
    change(this.#doc);
    await this.#lastCommit;
  }

  #mustBeOpen(): void {
    if (this.#state !== 'open') throw new Error(`the room of ${this.name} is ${this.#state}`);
  }

  /** Resolves when all that was taken is kept; rejects when it could not be. */
  kept(): Promise<void> {
    return this.#lastCommit;
  }

  /** Ends the room at once: everybody is sent away to come back to what is kept. */
  fail(code: RefusalCode): void {
    if (this.#state === 'failed') return;
    this.#state = 'failed';
    const all = [...this.#connections];
    this.#connections.clear();
    for (const connection of all) connection.refuse(code);
    this.#doc.off('update', this.#onUpdate);
    this.#doc.destroy();
    this.#onFailed(this);
  }

  /** Commits what waits and frees the document. The room is empty. */
  async close(): Promise<void> {
    if (this.#state !== 'open') return;
    this.#state = 'closing';
    try {
      await this.#lastCommit;
      if (this.#sinceSnapshot > COMPACT_WHEN_EMPTY) await this.#compact();
    } catch {
      // Those whose edits were lost were told by the room's failing.
    }
    this.#doc.off('update', this.#onUpdate);
    this.#doc.destroy();
  }

  /** A snapshot in the place of many updates; if it fails, the updates still stand. */
  async #compact(): Promise<void> {
    if (this.#compacting) return;
    this.#compacting = true;
    try {
      await this.#store.compact(this.name, mergeUpdates);
      this.#sinceSnapshot = 0;
    } catch {
      // Tried again when the room next empties.
    } finally {
      this.#compacting = false;
    }
  }
}

/** There is no document of that name. */
export class NoDocument extends Error {}
