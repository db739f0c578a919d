import * as Y from 'yjs';
import { itemAt, must } from '../../../lib/base';
import { Line } from './line';
import type { Door, Peer } from './peers';

/** Every edit carries who made it and its number, in letters that hardly any frame has by chance: `@@`, 3 and 5 digits of 36. */
const MARK = Buffer.from('@@');
const DIGITS = 36;
const WHO = 3;
const NUMBER = 5;
/** A bar's worth of text beside the mark. */
const FILLER = 'c4 d4 e4 f4 g4 a4 b4 c5 ';

const digits = (value: number, width: number): string => value.toString(DIGITS).padStart(width, '0');

function readDigits(bytes: Buffer, from: number, width: number): number {
  let value = 0;
  for (let i = from; i < from + width; i++) {
    const code = bytes[i] ?? 0;
    const digit = code >= 97 ? code - 87 : code - 48;
    if (digit < 0 || digit >= DIGITS) return -1;
    value = value * DIGITS + digit;
  }
  return value;
}

/** Somebody with a page open: a socket that edits, and that notes the edits of others as they come into sight. */
export class Person {
  readonly room: number;
  readonly number: number;
  readonly doc = new Y.Doc();
  /** The last edit made here, and how many have yet to see it. */
  made = 0;
  unseenBy = 0;
  madeAt = 0;
  /** The last edit seen here of each other of the room, by their number. */
  readonly #seen = new Map<number, number>();
  readonly #crowd: Crowd;
  readonly #line: Line;
  readonly ready: Promise<void>;
  /** Edits that are made and have yet to be sent: making one is the page's work, which is not measured. */
  #ahead: Uint8Array[] = [];
  #aheadMade = 0;

  constructor(crowd: Crowd, number: number, room: number) {
    this.#crowd = crowd;
    this.number = number;
    this.room = room;
    const { peer, door } = crowd;
    this.doc.on('update', (update: Uint8Array) => this.#ahead.push(peer.edit(door, room, update)));
    let isReady: () => void = () => {};
    let isBroken: (error: Error) => void = () => {};
    this.ready = new Promise((done, broken) => {
      isReady = done;
      isBroken = broken;
    });
    this.#line = new Line(peer.url(door, room), door.cookie === null ? {} : { Cookie: door.cookie }, {
      open: () => {
        for (const message of peer.hello(door, room)) this.#line.send(message);
      },
      message: (message) => {
        if (!peer.isDocument(message)) return;
        this.#line.quiet();
        isReady();
      },
      bytes: (bytes) => this.#look(bytes),
      end: (why) => {
        crowd.broken ??= `${peer.name} ended a socket: ${why}`;
        isBroken(new Error(crowd.broken));
      },
    });
  }

  /** Makes so many edits ahead. */
  prepare(count: number): void {
    while (this.#ahead.length < count) {
      this.#aheadMade += 1;
      this.doc.getMap('bars').set(`bar ${this.number}`, this.#text(this.#aheadMade));
    }
  }

  edit(): void {
    this.prepare(1);
    const message = must(this.#ahead.shift(), 'an edit');
    this.made += 1;
    this.unseenBy = this.#crowd.readersOf(this);
    this.madeAt = performance.now();
    this.#line.send(message);
  }

  /** What this person's bar says for everybody: the last edit that was sent; null: none was. */
  get standing(): string | null {
    return this.made === 0 ? null : this.#text(this.made);
  }

  #text(edit: number): string {
    return `@@${digits(this.number, WHO)}${digits(edit, NUMBER)} ${FILLER}`;
  }

  #look(bytes: Buffer): void {
    // Clocks and lengths can look like the beginning of a mark by chance, so that the search goes on right behind one.
    for (let at = bytes.indexOf(MARK); at >= 0; at = bytes.indexOf(MARK, at + 1)) {
      const from = at + MARK.length;
      const who = readDigits(bytes, from, WHO);
      const number = readDigits(bytes, from + WHO, NUMBER);
      if (who < 0 || number < 0 || who === this.number) continue;
      if ((this.#seen.get(who) ?? 0) >= number) continue;
      this.#seen.set(who, number);
      this.#crowd.sighted(who, number);
    }
  }

  leave(): void {
    this.#line.end();
    this.doc.destroy();
  }
}

/** Everybody who is connected to one server: so many rooms with so many people in each. */
export class Crowd {
  readonly peer: Peer;
  readonly door: Door;
  readonly people: Person[] = [];
  readonly #each: number;
  /** Milliseconds from edit to sight, one for each pair of edit and reader. */
  sights: number[] = [];
  /** Edits that everybody has seen. */
  done = 0;
  /** Why it is no use going on; null: all is well. */
  broken: string | null = null;
  onDone: ((person: Person) => void) | null = null;

  private constructor(peer: Peer, door: Door, each: number) {
    this.peer = peer;
    this.door = door;
    this.#each = each;
  }

  /** `each` people in each of so many rooms, from the first one on. */
  static async gather(peer: Peer, door: Door, rooms: number, each: number, firstRoom = 0): Promise<Crowd> {
    const crowd = new Crowd(peer, door, each);
    for (let first = 0; first < rooms * each; first += 50) {
      const some: Person[] = [];
      for (let i = first; i < Math.min(first + 50, rooms * each); i++)
        some.push(new Person(crowd, i, firstRoom + (i % rooms)));
      crowd.people.push(...some);
      await Promise.all(some.map((person) => person.ready));
    }
    return crowd;
  }

  readersOf(_person: Person): number {
    return this.#each - 1;
  }

  sighted(who: number, number: number): void {
    const person = itemAt(this.people, who);
    if (number !== person.made || person.unseenBy === 0) return;
    this.sights.push(performance.now() - person.madeAt);
    person.unseenBy -= 1;
    if (person.unseenBy > 0) return;
    this.done += 1;
    this.onDone?.(person);
  }

  get allSeen(): boolean {
    return this.people.every((person) => person.unseenBy === 0);
  }

  leave(): void {
    for (const person of this.people) person.leave();
  }
}
