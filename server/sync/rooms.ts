import * as Y from 'yjs';
import type { DocumentStore } from '../ports';
import { Pace, type Paces } from './pace';
import { NoDocument, Room } from './room';

/**
 * Edits: a turn, then three times as long for whatever else there is to do, at most 15 ms, in which edits gather.
 * Kept: the same, but rests longer, for it can be said along with the next edits; at most 40 ms.
 * Presence: at most 25 turns a second, whatever the load; a pointer needs no more.
 */
const EDITS_PACE = { rest: 3, least: 0, most: 15 };
const KEPT_PACE = { rest: 10, least: 0, most: 40 };
const PRESENCE_PACE = { rest: 3, least: 40, most: 200 };

/** What the rooms ask of the room that knows the documents. */
export interface DocumentCare {
  /** Called when a document has been loaded, before anybody sees it: brings it to the newest version, and cleans up what is due. */
  prepare(doc: Y.Doc): void;
}

/**
 * The rooms of one server by the name of their document. Two arrivals share one load; an arrival at a closing room
 * waits for it and loads anew; an empty room is closed and forgotten.
 */
export class Rooms {
  /** When the rooms, all of them together, do what they have gathered. */
  readonly paces: Paces = {
    edits: new Pace(EDITS_PACE),
    kept: new Pace(KEPT_PACE),
    presence: new Pace(PRESENCE_PACE),
  };
  readonly #store: DocumentStore;
  readonly #care: DocumentCare;
  readonly #rooms = new Map<string, Room>();
  readonly #holds = new Map<Room, number>();
  readonly #closing = new Map<string, Promise<void>>();
  readonly #prepare = (doc: Y.Doc): void => this.#care.prepare(doc);
  readonly #left = (room: Room): void => this.release(room);
  readonly #forget = (room: Room): void => {
    if (this.#rooms.get(room.name) === room) this.#rooms.delete(room.name);
  };

  constructor(store: DocumentStore, care: DocumentCare) {
    this.#store = store;
    this.#care = care;
  }

  /** How many rooms there are, in whatever state. */
  get count(): number {
    return this.#rooms.size;
  }

  /**
   * The open room of that name, held until `release`. Null where no such document was ever made;
   * rejects where it could not be loaded.
   */
  async hold(name: string): Promise<Room | null> {
    for (;;) {
      const closing = this.#closing.get(name);
      if (closing === undefined) break;
      await closing;
    }
    let room = this.#rooms.get(name);
    if (room === undefined) {
      room = new Room(name, {
        store: this.#store,
        paces: this.paces,
        prepare: this.#prepare,
        onEnd: this.#forget,
        onLeave: this.#left,
      });
      this.#rooms.set(name, room);
    }
    this.#holds.set(room, (this.#holds.get(room) ?? 0) + 1);
    try {
      await room.opened;
      return room;
    } catch (error) {
      this.#holds.delete(room);
      if (error instanceof NoDocument) return null;
      throw error;
    }
  }

  /** Lets go of a room; the last one to do so closes it. */
  release(room: Room): void {
    const holds = (this.#holds.get(room) ?? 0) - 1;
    if (holds > 0) {
      this.#holds.set(room, holds);
      return;
    }
    this.#holds.delete(room);
    if (this.#rooms.get(room.name) !== room || room.state !== 'open') return;
    const closed = room.close().finally(() => this.#closing.delete(room.name));
    this.#closing.set(room.name, closed);
  }

  /** Reads a document, open or not. Null where there is none. */
  async read<T>(name: string, reader: (doc: Y.Doc) => T): Promise<T | null> {
    const room = await this.hold(name);
    if (room === null) return null;
    try {
      return room.read(reader);
    } finally {
      this.release(room);
    }
  }

  /** Edits a document, open or not; resolves when the edit is kept. False where there is no such document. */
  async edit(name: string, change: (doc: Y.Doc) => void): Promise<boolean> {
    const room = await this.hold(name);
    if (room === null) return false;
    try {
      await room.edit(change);
      return true;
    } finally {
      this.release(room);
    }
  }

  /** Makes a document once; false where there is one. */
  async create(name: string, doc: Y.Doc): Promise<boolean> {
    return this.#store.create(name, Y.encodeStateAsUpdate(doc));
  }

  /** Resolves when everything taken so far is kept, or has failed. */
  async settle(): Promise<void> {
    await Promise.allSettled([...this.#rooms.values()].map((room) => room.kept()));
    await Promise.allSettled([...this.#closing.values()]);
  }

  /** Resolves when there is no room of such a name any more, in whatever state. Nobody new may be on the way to one. */
  async emptied(isOne: (name: string) => boolean): Promise<void> {
    const left = () => [...this.#rooms.values()].filter((room) => isOne(room.name));
    for (let rooms = left(); rooms.length > 0; rooms = left()) {
      await Promise.allSettled(rooms.map((room) => room.opened));
      await Promise.allSettled(rooms.map((room) => room.kept()));
      await Promise.allSettled(rooms.map((room) => this.#closing.get(room.name)));
      await new Promise((done) => setImmediate(done));
    }
  }

  /** As `create`, from the document as one update. */
  async createFrom(name: string, update: Uint8Array): Promise<boolean> {
    return this.#store.create(name, update);
  }
}
