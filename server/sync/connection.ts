import type { Duplex } from 'node:stream';
import { WebSocket } from 'ws';
import { closeCode, LIMITS, type RefusalCode, whyNot } from '../../lib/protocol';
import type { Clock, Entered, Session } from '../ports';
import { type Frame, keptFrame } from './frames';
import type { Last, Paces, Work } from './pace';
import type { PresenceOwner } from './presence';
import { wireOf } from './wire';

/** Up to so many bytes, several messages for one socket are put together in one buffer rather than written apart. */
const WRITTEN_TOGETHER = 64 * 1024;

/** The two ends of one socket: what speaks the protocol, and what the bytes go into. */
export interface Line {
  readonly socket: WebSocket;
  readonly stream: Duplex;
}

/** Bytes that a socket may send ahead while its document is loading. */
const AHEAD = 2 * LIMITS.frame;

let numbers = 0;

/** Where a connection is once it has been let in. */
export interface Inside {
  join(connection: Connection): void;
  take(connection: Connection, frame: Frame): void;
  leave(connection: Connection): void;
}

/** One socket, with the rights that its session had when it came and what it has been told. */
export class Connection implements PresenceOwner, Work, Last {
  /** Its place in the order in which sockets came. */
  readonly number = numbers++;
  readonly sessionId: string;
  readonly expiresAt: number;
  readonly bandId: string;
  readonly linkId: string | null;
  readonly kind: Entered['kind'];
  playerId: string | null;
  /** From when on it has to come again with a new cookie; null: it need not. */
  comesAgainAt: number | null = null;
  /** Update-bearing frames taken so far. */
  taken = 0;
  readonly #socket: WebSocket;
  readonly #stream: Duplex;
  readonly #clock: Clock;
  readonly #paces: Paces;
  /** Waits for the end of the turn. */
  #out: Buffer | Buffer[] | null = null;
  #outBytes = 0;
  #written = 0;
  #kept = 0;
  #keptIsDue = false;
  #keptWaits = false;
  #answered = true;
  /** As it stood at the last sign of life: what waited, and what had gone. */
  #backlogThen = 0;
  #goneThen = 0;
  #over = false;
  #inside: Inside | null = null;
  /** What it has sent ahead of its room, and its bytes. */
  #ahead: Frame[] | null = null;
  #aheadBytes = 0;
  #allowance: number = LIMITS.framesAtOnce;
  #allowanceAt: number;

  constructor({ socket, stream }: Line, session: Session, entered: Entered, clock: Clock, paces: Paces) {
    this.#socket = socket;
    this.#stream = stream;
    this.#clock = clock;
    this.#paces = paces;
    this.#allowanceAt = clock();
    this.sessionId = session.id;
    this.expiresAt = session.expiresAt;
    this.bandId = entered.bandId;
    this.linkId = entered.linkId;
    this.kind = entered.kind;
    this.playerId = entered.playerId;
  }

  /** True from the moment it was refused or has gone: nothing it says counts any more. */
  get over(): boolean {
    return this.#over;
  }

  get inRoom(): boolean {
    return this.#inside !== null;
  }

  /** Takes its place in a room, and hands in what it has sent ahead. It leaves as soon as it is over. */
  enter(inside: Inside): void {
    const ahead = this.#ahead ?? [];
    this.#ahead = null;
    this.#inside = inside;
    inside.join(this);
    for (const frame of ahead) this.#inside?.take(this, frame);
  }

  /** A frame that it sent, of so many bytes. */
  take(frame: Frame, bytes: number): void {
    if (this.#inside !== null) {
      this.#inside.take(this, frame);
      return;
    }
    this.#aheadBytes += bytes;
    if (this.#aheadBytes > AHEAD) this.refuse('too often');
    else if (this.#ahead === null) this.#ahead = [frame];
    else this.#ahead.push(frame);
  }

  /** Sends one message. */
  send(message: Uint8Array): void {
    this.write(wireOf(message));
  }

  /** Writes what is on the wire already, together with all else that goes there in this turn. */
  write(wire: Buffer): void {
    if (this.#over) return;
    if (this.#out === null) {
      this.#out = wire;
      this.#paces.edits.afterwards(this);
    } else if (Array.isArray(this.#out)) this.#out.push(wire);
    else this.#out = [this.#out, wire];
    this.#outBytes += wire.length;
  }

  /**
   * The end of the turn. The bytes go into the stream beside the WebSocket library, which would encode them anew for
   * each reader. Its own frames (pings, the close) are written whole, so the two never come into each other's frames.
   */
  last(): void {
    // What is kept is said along with whatever else there is to say.
    if (this.#keptIsDue && this.#out !== null && !this.isFull) this.#sayKept();
    const out = this.#out;
    const bytes = this.#outBytes;
    this.#out = null;
    this.#outBytes = 0;
    if (out === null || this.#socket.readyState !== WebSocket.OPEN || !this.#stream.writable) return;
    this.#written += bytes;
    if (!Array.isArray(out)) this.#stream.write(out);
    else if (bytes <= WRITTEN_TOGETHER) this.#stream.write(Buffer.concat(out, bytes));
    else {
      this.#stream.cork();
      for (const wire of out) this.#stream.write(wire);
      this.#stream.uncork();
    }
  }

  /** Bytes that it has yet to take. */
  get backlog(): number {
    return this.#stream.writableLength + this.#outBytes;
  }

  /** Whether as much waits to be read as may. */
  get isFull(): boolean {
    return this.backlog > LIMITS.unsent;
  }

  /** Calls back when the reader has taken all that waits. */
  whenDrained(then: () => void): void {
    const check = () => {
      if (this.#stream.writableNeedDrain) this.#stream.once('drain', then);
      else then();
    };
    // What is full because of this turn is written at its end.
    if (this.#out === null) check();
    else setImmediate(check);
  }

  /** Says that the first `count` frames are kept; several in one go are said once. */
  keep(count: number): void {
    if (this.#over || count <= this.#kept) return;
    this.#kept = count;
    this.#keptIsDue = true;
    this.#paces.kept.soon(this);
  }

  /** The turn in which it is told what is kept, if it has not been told along with something else. */
  work(): void {
    if (this.#keptIsDue) this.sendKept();
  }

  sendKept(): void {
    if (!this.isFull) {
      this.#sayKept();
      return;
    }
    if (this.#keptWaits) return;
    this.#keptWaits = true;
    this.whenDrained(() => {
      this.#keptWaits = false;
      if (!this.#over) this.sendKept();
    });
  }

  #sayKept(): void {
    this.#keptIsDue = false;
    this.send(keptFrame(this.#kept));
  }

  /** Whether one more frame is within the limit. */
  allow(): boolean {
    const now = this.#clock();
    // A clock that is set back takes nothing away.
    const gained = (Math.max(0, now - this.#allowanceAt) / 1000) * LIMITS.framesEachSecond;
    this.#allowance = Math.min(LIMITS.framesAtOnce, this.#allowance + gained);
    this.#allowanceAt = now;
    this.#allowance -= 1;
    return this.#allowance >= 0;
  }

  /** It has said something, if only that it is there. */
  answered(): void {
    this.#answered = true;
  }

  /**
   * Whether there has been any sign of it since this was last asked: a word, or bytes that it took out of a backlog (a
   * slow line may not get to our question for a while). Bytes without a backlog prove nothing: the system takes them.
   */
  showedLife(): boolean {
    const backlog = this.#stream.writableLength;
    const gone = this.#written - backlog;
    const showed = this.#answered || (this.#backlogThen > 0 && gone > this.#goneThen);
    this.#answered = false;
    this.#backlogThen = backlog;
    this.#goneThen = gone;
    return showed;
  }

  ping(): void {
    if (!this.#over && this.#socket.readyState === WebSocket.OPEN) this.#socket.ping();
  }

  /** Closes the socket with the catalogue's code. */
  refuse(code: RefusalCode): void {
    if (this.#over) return;
    this.last();
    this.end();
    this.#socket.close(closeCode(code), whyNot(code).what.slice(0, 120));
  }

  /** The socket has closed or is being closed: out of the room at once. */
  end(): void {
    this.#over = true;
    this.#out = null;
    this.#outBytes = 0;
    this.#paces.kept.drop(this);
    const inside = this.#inside;
    this.#inside = null;
    this.#ahead = null;
    inside?.leave(this);
  }

  terminate(): void {
    this.end();
    this.#socket.terminate();
  }
}
