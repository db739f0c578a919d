import * as Y from 'yjs';
import { itemAt } from '../../lib/base';
import type { Editor } from '../../lib/document';
import { keysOf } from '../unit/document/crowd';
import { MergeModel } from './merge-model';

/** What one edit sent out, and the writes that are in it. */
interface Message {
  readonly update: Uint8Array;
  readonly writes: readonly number[];
}

interface Person<E> {
  doc: Y.Doc;
  edits: E;
  isCut: boolean;
  /** Not yet at the hub; not yet here. */
  readonly out: Message[];
  readonly in: Message[];
  sent: Message[];
  stop: () => void;
}

/** What happened, for the figures. */
export interface Happened {
  edits: number;
  cuts: number;
  merges: number;
  reloads: number;
}

/**
 * Up to six people, each with a document and an editor of their own, and a hub between them that passes on what arrives in the order in which
 * it arrives, as a server does; and the model of what each of them must see. A line can be cut, so that messages wait on both
 * sides, come back for a few messages only, hand over by what each side lacks, or bring a message twice.
 */
export class MergeLine<E extends Editor> {
  readonly people: readonly Person<E>[];
  readonly hub = new Y.Doc();
  readonly model: MergeModel;
  readonly happened: Happened = { edits: 0, cuts: 0, merges: 0, reloads: 0 };
  readonly #edits: (doc: Y.Doc, who: number, session: number) => E;
  readonly #hubHeard = new Set<number>();
  #session = 0;
  #sending: Uint8Array[] = [];

  constructor(first: Y.Doc, people: number, edits: (doc: Y.Doc, who: number, session: number) => E) {
    this.#edits = edits;
    this.hub.clientID = 1000;
    const state = Y.encodeStateAsUpdate(first);
    Y.applyUpdate(this.hub, state);
    this.model = new MergeModel(people, keysOf(first));
    this.people = Array.from({ length: people }, (_, who) => ({
      ...this.#open(state, who),
      isCut: false,
      out: [],
      in: [],
      sent: [],
    }));
    for (const id of this.model.heard(0)) this.#hubHeard.add(id);
  }

  /** One edit; what it wrote is taken down from the writer's own document, and passed on if the line stands. */
  edit(who: number, act: (edits: E, doc: Y.Doc) => unknown): void {
    const person = itemAt(this.people, who);
    const before = keysOf(person.doc);
    this.#sending = [];
    act(person.edits, person.doc);
    const after = keysOf(person.doc);
    const writes: number[] = [];
    for (const key of new Set([...before.keys(), ...after.keys()])) {
      if (before.get(key) !== after.get(key)) writes.push(this.model.write(who, key, after.get(key) ?? null));
    }
    const [update, ...more] = this.#sending;
    if (more.length > 0) throw new Error(`an edit of ${more.length + 1} transactions`);
    if (!update) return;
    this.happened.edits += 1;
    person.out.push({ update, writes });
    if (!person.isCut) this.#deliver(who);
  }

  cut(who: number): void {
    const person = itemAt(this.people, who);
    if (!person.isCut) this.happened.cuts += 1;
    person.isCut = true;
  }

  /** The line stands again for so many messages each way; with more waiting, it is cut again. */
  join(who: number, most: number): void {
    const person = itemAt(this.people, who);
    this.#deliver(who, most);
    person.isCut = person.out.length > 0 || person.in.length > 0;
    if (!person.isCut) this.happened.merges += 1;
  }

  /** The line stands again; each side sends what the other lacks, as when a page meets its server. */
  joinWhole(who: number): void {
    const person = itemAt(this.people, who);
    const mine = this.model.heard(who);
    const update = Y.encodeStateAsUpdate(person.doc, Y.encodeStateVector(this.hub));
    this.#arrive(who, { update, writes: [...mine] });
    Y.applyUpdate(person.doc, Y.encodeStateAsUpdate(this.hub, Y.encodeStateVector(person.doc)));
    this.model.hear(who, this.#hubHeard);
    person.out.length = 0;
    person.in.length = 0;
    person.isCut = false;
    this.happened.merges += 1;
  }

  /** A message that arrived before arrives again. */
  again(who: number, n: number): void {
    const { doc, sent } = itemAt(this.people, who);
    if (sent.length > 0) Y.applyUpdate(doc, itemAt(sent, n % sent.length).update);
  }

  /** The page is loaded anew from what the device kept: another client id, and nothing to take back. */
  reload(who: number): void {
    const person = itemAt(this.people, who);
    const state = Y.encodeStateAsUpdate(person.doc);
    person.stop();
    Object.assign(person, this.#open(state, who));
    this.happened.reloads += 1;
  }

  #open(state: Uint8Array, who: number): Pick<Person<E>, 'doc' | 'edits' | 'stop'> {
    const doc = new Y.Doc();
    this.#session += 1;
    // In any order among one another: it decides whose write stands.
    doc.clientID = 2000 + ((this.#session * 7919) % 997);
    Y.applyUpdate(doc, state);
    const edits = this.#edits(doc, who, this.#session);
    doc.on('update', (update: Uint8Array, origin: unknown) => {
      if (origin !== this) this.#sending.push(update);
    });
    return { doc, edits, stop: () => edits.destroy() };
  }

  #deliver(who: number, most = Number.POSITIVE_INFINITY): void {
    const person = itemAt(this.people, who);
    for (const message of person.in.splice(0, most)) this.#take(who, message);
    for (const message of person.out.splice(0, most)) this.#arrive(who, message);
  }

  #arrive(from: number, message: Message): void {
    Y.applyUpdate(this.hub, message.update);
    for (const id of message.writes) this.#hubHeard.add(id);
    this.people.forEach((other, who) => {
      if (who === from) return;
      if (other.isCut) other.in.push(message);
      else this.#take(who, message);
    });
  }

  #take(who: number, message: Message): void {
    const person = itemAt(this.people, who);
    Y.applyUpdate(person.doc, message.update, this);
    this.model.hear(who, message.writes);
    person.sent = [...person.sent.slice(-20), message];
  }

  /** What of a person's document is not as the model has it; empty where all is. */
  wrong(who: number): readonly string[] {
    const keys = keysOf(itemAt(this.people, who).doc);
    const faults: string[] = [];
    for (const key of new Set([...this.model.keys(), ...keys.keys()])) {
      const value = keys.get(key) ?? null;
      const possible = this.model.possible(who, key);
      if (!possible.has(value))
        faults.push(`person ${who} has ${key} = ${value}, and it must be ${[...possible].join(' or ')}`);
    }
    return faults;
  }
}
