import * as Y from 'yjs';
import { LIMITS, type RefusalCode } from '../../lib/protocol';
import type { DocumentStore } from '../ports';
import type { Connection } from './connection';
import { type Frame, presenceFrame, rightsFrame, step1Frame, step2Frame, updateFrame } from './frames';
import type { Last, Paces, Work } from './pace';
import { Parcel, type Sent } from './parcel';
import { Presence } from './presence';

/**
 * `loading`: nothing is sent or stored yet. `open`: it serves. `closing`: nobody is in it, its last edits are being
 * committed. `closed` and `failed` are ends: all that it held is freed, and whoever comes gets a new room.
 */
export type RoomState = 'loading' | 'open' | 'closing' | 'closed' | 'failed';

/** Updates behind a snapshot after which a new one is made: when the room empties, and while it is open. */
const COMPACT_WHEN_EMPTY = 50;
const COMPACT_WHEN_OPEN = 1000;

export interface RoomOptions {
  readonly store: DocumentStore;
  readonly paces: Paces;
  readonly migrate: (doc: Y.Doc) => void;
  /** Called once, when it has ended for whatever reason. */
  readonly onEnd: (room: Room) => void;
}

interface Edits {
  readonly from: Connection;
  readonly update: Uint8Array;
}

/**
 * One document while it is open. Nothing is sent or stored before its load has succeeded. Edits that come in one turn
 * are applied in one transaction, handed to the store as one update, and passed on to everybody but their makers; a
 * change that could not be kept fails the room, and everybody comes back to what is kept, with their own edits still
 * in their pages. A reader who falls behind is passed over, and sent all that it lacks when it can take more.
 */
export class Room implements Work, Last {
  readonly name: string;
  /** Resolves when it is open; rejects when the document cannot be had. */
  readonly opened: Promise<void>;
  readonly #store: DocumentStore;
  readonly #paces: Paces;
  readonly #onEnd: (room: Room) => void;
  readonly #doc = new Y.Doc();
  readonly #presence = new Presence();
  readonly #connections = new Set<Connection>();
  /** Readers that have fallen behind, with the state vector of what they were sent. */
  readonly #behind = new Map<Connection, Uint8Array>();
  readonly #whereabouts: Work = { work: () => this.#tellPresence() };
  #state: RoomState = 'loading';
  #lastCommit: Promise<void> = Promise.resolve();
  #sinceSnapshot = 0;
  /** At least the bytes of the document; worked out anew where it comes near the limit. */
  #bytes = 0;
  /** Bytes taken and not applied yet. */
  #bytesTaken = 0;
  #compacting = false;
  #taken: Edits[] = [];
  /** Changes that the store has not been handed, and whose frames are in them up to which. */
  #toStore: Uint8Array[] = [];
  #makers = new Map<Connection, number>();
  /** Whose presence has changed, and by whose word. */
  #moved = new Map<number, Connection | null>();
  /** What the transaction of the moment has changed. */
  #changes: Uint8Array[] = [];

  constructor(name: string, { store, paces, migrate, onEnd }: RoomOptions) {
    this.name = name;
    this.#store = store;
    this.#paces = paces;
    this.#onEnd = onEnd;
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
      for (const update of stored.updates) this.#bytes += update.length;
      this.#doc.on('update', this.#onUpdate);
      this.#change(() => migrate(this.#doc));
      this.#handIn();
      await this.#lastCommit;
      if (this.#state !== 'loading') throw new Error(`the room of ${this.name} is ${this.#state}`);
      this.#state = 'open';
    } catch (error) {
      this.#end('failed');
      throw error;
    }
  }

  readonly #onUpdate = (update: Uint8Array): void => {
    this.#changes.push(update);
  };

  /** Runs one change of the document and hands what it changed to the store; null where it changed nothing. */
  #change(work: () => void): Uint8Array | null {
    this.#notePassedOver();
    this.#changes = [];
    work();
    const changes = this.#changes;
    this.#changes = [];
    const [first] = changes;
    if (first === undefined) return null;
    const update = changes.length === 1 ? first : Y.mergeUpdates(changes);
    this.#toStore.push(update);
    this.#bytes += update.length;
    return update;
  }

  /** The end of its turn, after everybody has been written to: nobody waits for the store to see an edit. */
  last(): void {
    this.#handIn();
  }

  /** Hands to the store what it has not got, and has the makers told when that is kept. */
  #handIn(): void {
    const updates = this.#toStore;
    const makers = this.#makers;
    if (updates.length === 0 && makers.size === 0) return;
    this.#toStore = [];
    this.#makers = new Map();
    for (const update of updates) {
      this.#sinceSnapshot += 1;
      const commit = this.#store.append(this.name, update);
      this.#lastCommit = Promise.all([this.#lastCommit, commit]).then(() => {});
      this.#lastCommit.catch(() => this.fail('not kept'));
    }
    // Even where a frame brought nothing new: what it holds may have come by another socket and be on its way.
    this.#lastCommit.then(
      () => {
        for (const [from, count] of makers) from.keep(count);
      },
      () => {},
    );
    if (this.#sinceSnapshot > COMPACT_WHEN_OPEN) void this.#compact();
  }

  /** Lets a socket in; the room is open. It is told its rights, asked for its edits, and shown who is here. */
  join(connection: Connection): void {
    this.#connections.add(connection);
    connection.send(rightsFrame(connection.kind === 'player'));
    // A listener has no edits to ask for.
    if (connection.kind === 'player') {
      this.#settleEdits();
      connection.send(step1Frame(this.#doc));
    }
    const here = this.#presence.all();
    if (here.length > 0) connection.send(presenceFrame(here));
  }

  leave(connection: Connection): void {
    if (!this.#connections.delete(connection)) return;
    this.#behind.delete(connection);
    this.#hasMoved(this.#presence.leave(connection), null);
  }

  /** Acts on one frame of a socket that is in the room. */
  take(connection: Connection, frame: Frame): void {
    switch (frame.kind) {
      case 'step 1':
        this.#settleEdits();
        if (!connection.over) connection.send(step2Frame(this.#doc, frame.stateVector));
        return;
      case 'edits':
        this.#takeEdits(connection, frame.update, frame.alone);
        return;
      case 'presence':
        this.#hasMoved(this.#presence.take(connection, frame.entries), connection);
        return;
      case 'ask presence':
        connection.send(presenceFrame(this.#presence.all()));
        return;
    }
  }

  #takeEdits(from: Connection, update: Uint8Array, alone: boolean): void {
    // Dropped whole, and never called kept.
    if (from.kind !== 'player') return;
    if (!this.#hasRoomFor(update)) from.refuse('document full');
    if (from.over) return;
    this.#bytesTaken += update.length;
    from.taken += 1;
    // What a page brings on coming back holds more than is news; it is not passed on as it came.
    if (alone || this.#isPending()) this.#settleEdits();
    if (from.over) return;
    this.#taken.push({ from, update });
    if (alone || this.#isPending()) this.#settleEdits();
    else this.#paces.edits.soon(this);
  }

  #hasRoomFor(update: Uint8Array): boolean {
    if (this.#bytes + this.#bytesTaken + update.length <= LIMITS.document) return true;
    this.#settleEdits();
    if (this.#isOver()) return true;
    this.#bytes = Y.encodeStateAsUpdate(this.#doc).length;
    return this.#bytes + update.length <= LIMITS.document;
  }

  /** Edits whose foundations have not arrived wait in the document without an update event of their own. */
  #isPending(): boolean {
    const { pendingStructs, pendingDs } = this.#doc.store;
    return pendingStructs !== null || pendingDs !== null;
  }

  /** Its turn. */
  work(): void {
    this.#settleEdits();
  }

  /** Applies what was taken, has it kept, and passes it on. */
  #settleEdits(): void {
    const taken = this.#taken;
    if (taken.length === 0) return;
    this.#taken = [];
    this.#bytesTaken = 0;
    this.#paces.edits.drop(this);
    const wasPending = this.#isPending();
    const blame: Connection[] = [];
    const update = this.#change(() => {
      this.#apply(taken, blame);
      if (blame.length > 0) this.#changes = [];
    });
    if (blame.length > 0) {
      // Decoded and yet not applied: the document is not to be trusted, and nothing of it is kept.
      for (const connection of blame) connection.refuse('bad frame');
      this.fail('not loaded');
      return;
    }
    if (this.#isPending()) for (const { update } of taken) this.#toStore.push(new Uint8Array(update));
    for (const { from } of taken) this.#makers.set(from, from.taken);
    if (update !== null) this.#passOn(update, taken, wasPending);
    this.#paces.edits.afterwards(this);
  }

  /** One transaction for all of them: it costs as much as for one, and its update is the merged one. */
  #apply(taken: readonly Edits[], blame: Connection[]): void {
    let current: Connection | null = null;
    try {
      this.#doc.transact(() => {
        for (const { from, update } of taken) {
          current = from;
          Y.applyUpdate(this.#doc, update);
        }
      });
    } catch {
      if (current !== null) blame.push(current);
    }
  }

  /** Passes a change on to everybody but its makers; to them too where it freed edits that had waited here. */
  #passOn(update: Uint8Array, taken: readonly Edits[], toMakersToo: boolean): void {
    const message = () => updateFrame(update);
    const sent = toMakersToo ? [] : taken.map(({ from, update }) => ({ from, message: updateFrame(update) }));
    this.#deliver(new Parcel<Connection>(sent, message));
  }

  #deliver(parcel: Parcel<Connection>): void {
    for (const reader of this.#connections) {
      if (this.#behind.has(reader)) continue;
      for (const wire of parcel.for(reader)) reader.write(wire);
    }
  }

  /** Before a change: whoever cannot take more is passed over from here on. */
  #notePassedOver(): void {
    let sent: Uint8Array | null = null;
    for (const reader of this.#connections) {
      if (!reader.isFull || this.#behind.has(reader)) continue;
      sent ??= Y.encodeStateVector(this.#doc);
      this.#behind.set(reader, sent);
      reader.whenDrained(() => this.#catchUp(reader));
    }
  }

  /** Sends a reader who was passed over the difference, whole, and who has come and gone meanwhile. */
  #catchUp(reader: Connection): void {
    const sent = this.#behind.get(reader);
    if (sent === undefined) return;
    this.#behind.delete(reader);
    reader.send(updateFrame(Y.encodeStateAsUpdate(this.#doc, sent)));
    reader.send(presenceFrame(this.#presence.everything()));
    reader.sendKept();
  }

  #hasMoved(clientIds: readonly number[], by: Connection | null): void {
    if (clientIds.length === 0) return;
    for (const clientId of clientIds) this.#moved.set(clientId, by);
    this.#paces.presence.soon(this.#whereabouts);
  }

  #tellPresence(): void {
    const moved = [...this.#moved];
    this.#moved.clear();
    this.#notePassedOver();
    const entries = moved.map(([clientId]) => this.#presence.entry(clientId));
    const sent: Sent<Connection>[] = moved.map(([, from], i) => ({
      from,
      message: presenceFrame(entries.slice(i, i + 1)),
    }));
    this.#deliver(new Parcel(sent, () => presenceFrame(entries)));
  }

  /** Reads the document as it stands. */
  read<T>(reader: (doc: Y.Doc) => T): T {
    this.#mustBeOpen();
    this.#settleEdits();
    return reader(this.#doc);
  }

  /** Makes an edit of the server's own; resolves when it is kept. */
  async edit(change: (doc: Y.Doc) => void): Promise<void> {
    this.#mustBeOpen();
    this.#settleEdits();
    const update = this.#change(() => change(this.#doc));
    if (update !== null) this.#passOn(update, [], true);
    this.#handIn();
    await this.#lastCommit;
  }

  #mustBeOpen(): void {
    if (this.#state !== 'open') throw new Error(`the room of ${this.name} is ${this.#state}`);
  }

  /** Resolves when all that was taken is kept; rejects when it could not be. */
  kept(): Promise<void> {
    this.#settleEdits();
    this.#handIn();
    return this.#lastCommit;
  }

  /** Ends the room at once: everybody is sent away to come back to what is kept. */
  fail(code: RefusalCode): void {
    if (this.#isOver()) return;
    const all = [...this.#connections];
    this.#end('failed');
    for (const connection of all) connection.refuse(code);
  }

  /** Commits what waits and ends. The room is empty. */
  async close(): Promise<void> {
    if (this.#state !== 'open') return;
    this.#settleEdits();
    this.#handIn();
    this.#state = 'closing';
    try {
      await this.#lastCommit;
      if (this.#sinceSnapshot > COMPACT_WHEN_EMPTY) await this.#compact();
    } catch {
      // Those whose edits were lost were told by the room's failing.
    }
    this.#end('closed');
  }

  #isOver(): boolean {
    return this.#state === 'closed' || this.#state === 'failed';
  }

  /** The one way out, whatever the reason: frees the document and everything that waits. */
  #end(state: 'closed' | 'failed'): void {
    if (this.#isOver()) return;
    this.#state = state;
    this.#taken = [];
    this.#toStore = [];
    this.#makers.clear();
    this.#moved.clear();
    this.#behind.clear();
    this.#connections.clear();
    this.#paces.edits.drop(this);
    this.#paces.presence.drop(this.#whereabouts);
    this.#doc.off('update', this.#onUpdate);
    this.#doc.destroy();
    this.#onEnd(this);
  }

  /** A snapshot in the place of many updates; if it fails, the updates still stand. */
  async #compact(): Promise<void> {
    if (this.#compacting) return;
    this.#compacting = true;
    try {
      await this.#store.compact(this.name);
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
