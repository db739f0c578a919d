import * as Y from 'yjs';
import { LIMITS, type RefusalCode } from '../../lib/protocol';
import type { DocumentStore } from '../ports';
import type { Connection } from './connection';
import { type Frame, presenceFrame, rightsFrame, step1Frame, step2Frame, updateFrame } from './frames';
import { Keeping, type Loser } from './keeping';
import type { Last, Paces, Work } from './pace';
import { Parcel } from './parcel';
import { Presence } from './presence';
import { type Teller, Whereabouts } from './whereabouts';

/**
 * `loading`: nothing is sent or stored yet. `open`: it serves. `closing`: nobody is in it, its last edits are being
 * committed. `closed` and `failed` are ends: all that it held is freed, and whoever comes gets a new room.
 */
export type RoomState = 'loading' | 'open' | 'closing' | 'closed' | 'failed';

/** For rooms that are open. */
const DONE = Promise.resolve();

export interface RoomOptions {
  readonly store: DocumentStore;
  readonly paces: Paces;
  readonly prepare: (doc: Y.Doc) => void;
  /** Called once, when it has ended for whatever reason. */
  readonly onEnd: (room: Room) => void;
  /** Called for every socket that was in it and has left. */
  readonly onLeave: (room: Room) => void;
}

interface Edits {
  readonly from: Connection;
  readonly update: Uint8Array;
  /** The frame that they came in, which is passed on as it is. */
  readonly message: Uint8Array;
}

/**
 * One document while it is open. Nothing is sent or stored before its load has succeeded. Edits that come in one turn
 * are applied in one transaction, handed to the store as one update, and passed on to everybody but their makers; a
 * change that could not be kept fails the room, and everybody comes back to what is kept, with their own edits still
 * in their pages. A reader who falls behind is passed over, and sent all that it lacks when it can take more.
 */
export class Room implements Work, Last, Loser, Teller<Connection> {
  readonly name: string;
  readonly #store: DocumentStore;
  readonly #paces: Paces;
  readonly #onEnd: (room: Room) => void;
  readonly #onLeave: (room: Room) => void;
  readonly #doc = new Y.Doc();
  readonly #connections = new Set<Connection>();
  readonly #keeping: Keeping;
  #state: RoomState = 'loading';
  // Of all that follows most rooms have nothing most of the time, and a server of thousands pays for every empty table.
  #opening: Promise<void> | null;
  /** Readers that have fallen behind, with the state vector of what they were sent. */
  #behind: Map<Connection, Uint8Array> | null = null;
  /** At least the bytes of the document; worked out anew where it comes near the limit. */
  #bytes = 0;
  /** Bytes taken and not applied yet. */
  #bytesTaken = 0;
  #taken: Edits[] | null = null;
  #presence: Presence | null = null;
  /** Whose presence has changed. */
  #moved: Whereabouts<Connection> | null = null;
  /** What the transaction of the moment has changed. */
  #changes: Uint8Array[] | null = null;

  constructor(name: string, { store, paces, prepare, onEnd, onLeave }: RoomOptions) {
    this.name = name;
    this.#store = store;
    this.#paces = paces;
    this.#keeping = new Keeping(name, store, this);
    this.#onEnd = onEnd;
    this.#onLeave = onLeave;
    this.#opening = this.#load(prepare);
    // Whoever waits hears of it; that nobody waits is no fault.
    this.#opening.catch(() => {});
  }

  /** Resolves when it is open; rejects when the document cannot be had. */
  get opened(): Promise<void> {
    return this.#opening ?? DONE;
  }

  get state(): RoomState {
    return this.#state;
  }

  get size(): number {
    return this.#connections.size;
  }

  async #load(prepare: (doc: Y.Doc) => void): Promise<void> {
    try {
      const stored = await this.#store.load(this.name);
      if (stored === null) throw new NoDocument(this.name);
      for (const update of stored.updates) Y.applyUpdate(this.#doc, update);
      this.#keeping.found(stored.sinceSnapshot);
      for (const update of stored.updates) this.#bytes += update.length;
      this.#doc.on('update', this.#onUpdate);
      this.#change(() => prepare(this.#doc));
      this.#keeping.handIn();
      await this.#keeping.done;
      if (this.#state !== 'loading') throw new Error(`the room of ${this.name} is ${this.#state}`);
      this.#state = 'open';
      this.#opening = null;
    } catch (error) {
      this.#end('failed');
      throw error;
    }
  }

  readonly #onUpdate = (update: Uint8Array): void => {
    if (this.#changes === null) this.#changes = [update];
    else this.#changes.push(update);
  };

  /** Runs one change of the document and hands what it changed to the store; null where it changed nothing. */
  #change(work: () => void): Uint8Array | null {
    this.#notePassedOver();
    this.#takeChanges();
    work();
    const changes = this.#takeChanges();
    const [first] = changes;
    if (first === undefined) return null;
    const update = changes.length === 1 ? first : Y.mergeUpdates(changes);
    this.#keeping.put(update);
    this.#bytes += update.length;
    return update;
  }

  #takeChanges(): Uint8Array[] {
    const changes = this.#changes ?? [];
    this.#changes = null;
    return changes;
  }

  /** The end of its turn, after everybody has been written to: nobody waits for the store to see an edit. */
  last(): void {
    this.#keeping.handIn();
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
    const here = this.#presence?.all() ?? [];
    if (here.length > 0) connection.send(presenceFrame(here));
  }

  leave(connection: Connection): void {
    if (this.#connections.delete(connection)) {
      this.#catchesUp(connection);
      if (this.#presence !== null) this.#hasMoved(this.#presence.leave(connection), null);
    }
    this.#onLeave(this);
  }

  /** Acts on one frame of a socket that is in the room. */
  take(connection: Connection, frame: Frame): void {
    switch (frame.kind) {
      case 'step 1':
        this.#settleEdits();
        if (!connection.over) connection.send(step2Frame(this.#doc, frame.stateVector));
        return;
      case 'edits':
        this.#takeEdits(connection, frame);
        return;
      case 'presence':
        this.#presence ??= new Presence();
        this.#hasMoved(this.#presence.take(connection, frame.entries), connection);
        return;
      case 'ask presence':
        connection.send(presenceFrame(this.#presence?.all() ?? []));
        return;
    }
  }

  #takeEdits(from: Connection, { update, alone, message }: Extract<Frame, { kind: 'edits' }>): void {
    // Dropped whole, and never called kept.
    if (from.kind !== 'player') return;
    if (!this.#hasRoomFor(update)) from.refuse('document full');
    if (from.over) return;
    this.#bytesTaken += update.length;
    from.taken += 1;
    // What a page brings on coming back holds more than is news; it is not passed on as it came.
    if (alone || this.#isPending()) this.#settleEdits();
    if (from.over) return;
    const edits = { from, update, message };
    if (this.#taken === null) this.#taken = [edits];
    else this.#taken.push(edits);
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
    if (taken === null) return;
    this.#taken = null;
    this.#bytesTaken = 0;
    this.#paces.edits.drop(this);
    const wasPending = this.#isPending();
    const blame: Connection[] = [];
    const update = this.#change(() => {
      this.#apply(taken, blame);
      if (blame.length > 0) this.#changes = null;
    });
    if (blame.length > 0) {
      // Decoded and yet not applied: the document is not to be trusted, and nothing of it is kept.
      for (const connection of blame) connection.refuse('bad frame');
      this.fail('not loaded');
      return;
    }
    if (this.#isPending()) for (const { update } of taken) this.#keeping.put(new Uint8Array(update));
    for (const { from } of taken) this.#keeping.madeBy(from);
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
    const sent = toMakersToo ? [] : taken;
    this.#deliver(new Parcel<Connection>(sent, () => updateFrame(update)));
  }

  #deliver(parcel: Parcel<Connection>): void {
    for (const reader of this.#connections) {
      if (this.#behind?.has(reader)) continue;
      for (const wire of parcel.for(reader)) reader.write(wire);
    }
  }

  /** Before a change: whoever cannot take more is passed over from here on. */
  #notePassedOver(): void {
    let sent: Uint8Array | null = null;
    for (const reader of this.#connections) {
      if (!reader.isFull || this.#behind?.has(reader)) continue;
      sent ??= Y.encodeStateVector(this.#doc);
      this.#behind ??= new Map();
      this.#behind.set(reader, sent);
      reader.whenDrained(() => this.#catchUp(reader));
    }
  }

  /** Sends a reader who was passed over the difference, whole, and who has come and gone meanwhile. */
  #catchUp(reader: Connection): void {
    const sent = this.#behind?.get(reader);
    if (sent === undefined) return;
    this.#catchesUp(reader);
    reader.send(updateFrame(Y.encodeStateAsUpdate(this.#doc, sent)));
    if (this.#presence !== null) reader.send(presenceFrame(this.#presence.everything()));
    reader.sendKept();
  }

  #catchesUp(reader: Connection): void {
    this.#behind?.delete(reader);
    if (this.#behind?.size === 0) this.#behind = null;
  }

  #hasMoved(clientIds: readonly number[], by: Connection | null): void {
    if (clientIds.length === 0) return;
    this.#moved ??= new Whereabouts(this);
    this.#moved.moved(clientIds, by);
    this.#paces.presence.soon(this.#moved);
  }

  /** The turn in which everybody hears who is where. */
  tell(moved: Whereabouts<Connection>): void {
    this.#moved = null;
    this.#notePassedOver();
    if (this.#presence !== null) this.#deliver(moved.parcel(this.#presence));
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
    this.#keeping.handIn();
    await this.#keeping.done;
  }

  #mustBeOpen(): void {
    if (this.#state !== 'open') throw new Error(`the room of ${this.name} is ${this.#state}`);
  }

  /** Resolves when all that was taken is kept; rejects when it could not be. */
  kept(): Promise<void> {
    this.#settleEdits();
    this.#keeping.handIn();
    return this.#keeping.done;
  }

  /** A change could not be kept. */
  lose(): void {
    this.fail('not kept');
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
    this.#state = 'closing';
    await this.#keeping.close();
    this.#end('closed');
  }

  #isOver(): boolean {
    return this.#state === 'closed' || this.#state === 'failed';
  }

  /** The one way out, whatever the reason: frees the document and everything that waits. */
  #end(state: 'closed' | 'failed'): void {
    if (this.#isOver()) return;
    this.#state = state;
    this.#taken = null;
    this.#keeping.drop();
    this.#behind = null;
    this.#connections.clear();
    this.#paces.edits.drop(this);
    if (this.#moved !== null) this.#paces.presence.drop(this.#moved);
    this.#moved = null;
    this.#doc.off('update', this.#onUpdate);
    this.#doc.destroy();
    this.#onEnd(this);
  }
}

/** There is no document of that name. */
export class NoDocument extends Error {}
