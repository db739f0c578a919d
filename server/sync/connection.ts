import type { Duplex } from 'node:stream';
import { WebSocket } from 'ws';
import { closeCode, LIMITS, type RefusalCode, whyNot } from '../../lib/protocol';
import type { Clock, Entered, Session } from '../ports';
import { keptFrame } from './frames';
import type { Pace } from './pace';
import type { PresenceOwner } from './presence';
import { wireOf } from './wire';

/** Up to so many bytes, several messages for one socket are put together in one buffer rather than written apart. */
const WRITTEN_TOGETHER = 64 * 1024;

/** The two ends of one socket: what speaks the protocol, and what the bytes go into. */
export interface Line {
  readonly socket: WebSocket;
  readonly stream: Duplex;
}

let numbers = 0;

/** One socket, with the rights that its session had when it came and what it has been told. */
export class Connection implements PresenceOwner {
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
  readonly #pace: Pace;
  /** Waits for the end of the turn. */
  #out: Buffer[] = [];
  #outBytes = 0;
  #written = 0;
  #kept = 0;
  #keptWaits = false;
  #answered = true;
  /** As it stood at the last sign of life: what waited, and what had gone. */
  #backlogThen = 0;
  #goneThen = 0;
  #over = false;
  /** Set while it is in a room: the way out of it. */
  #exit: (() => void) | null = null;
  #allowance: number = LIMITS.framesAtOnce;
  #allowanceAt: number;

  constructor({ socket, stream }: Line, session: Session, entered: Entered, clock: Clock, pace: Pace) {
    this.#socket = socket;
    this.#stream = stream;
    this.#clock = clock;
    this.#pace = pace;
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
    return this.#exit !== null;
  }

  /** Notes the way out of the room that it has joined; taken once, as soon as it is over. */
  entered(exit: () => void): void {
    this.#exit = exit;
  }

  /** Sends one message. */
  send(message: Uint8Array): void {
    this.write(wireOf(message));
  }

  /** Writes what is on the wire already, together with all else that goes there in this turn. */
  write(wire: Buffer): void {
    if (this.#over) return;
    if (this.#out.push(wire) === 1) this.#pace.afterwards(this.#flush);
    this.#outBytes += wire.length;
  }

  /**
   * The bytes go into the stream beside the WebSocket library, which would encode them anew for each reader. Its own
   * frames (pings, the close) are written whole, so the two never come into each other's frames.
   */
  readonly #flush = (): void => {
    const out = this.#out;
    const bytes = this.#outBytes;
    this.#out = [];
    this.#outBytes = 0;
    const [first] = out;
    if (first === undefined || this.#socket.readyState !== WebSocket.OPEN || !this.#stream.writable) return;
    this.#written += bytes;
    if (out.length === 1) this.#stream.write(first);
    else if (bytes <= WRITTEN_TOGETHER) this.#stream.write(Buffer.concat(out, bytes));
    else {
      this.#stream.cork();
      for (const wire of out) this.#stream.write(wire);
      this.#stream.uncork();
    }
  };

  /** Whether as much waits to be read as may. */
  get isFull(): boolean {
    return this.#stream.writableLength + this.#outBytes > LIMITS.unsent;
  }

  /** Calls back when the reader has taken all that waits. */
  whenDrained(then: () => void): void {
    if (this.#stream.writableNeedDrain) this.#stream.once('drain', then);
    else this.#pace.soon(() => (this.#stream.writableNeedDrain ? this.whenDrained(then) : then()));
  }

  /** Says that the first `count` frames are kept; several in one go are said once. */
  keep(count: number): void {
    if (this.#over || count <= this.#kept) return;
    this.#kept = count;
    this.#pace.soon(this.sendKept);
  }

  readonly sendKept = (): void => {
    if (!this.isFull) {
      this.send(keptFrame(this.#kept));
      return;
    }
    if (this.#keptWaits) return;
    this.#keptWaits = true;
    this.whenDrained(() => {
      this.#keptWaits = false;
      this.sendKept();
    });
  };

  /** Whether one more frame is within the limit. */
  allow(): boolean {
    const now = this.#clock();
    const gained = ((now - this.#allowanceAt) / 1000) * LIMITS.framesEachSecond;
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
    this.#flush();
    this.end();
    this.#socket.close(closeCode(code), whyNot(code).what.slice(0, 120));
  }

  /** The socket has closed or is being closed: out of the room at once. */
  end(): void {
    this.#over = true;
    this.#out = [];
    this.#outBytes = 0;
    this.#pace.drop(this.sendKept);
    const exit = this.#exit;
    this.#exit = null;
    exit?.();
  }

  terminate(): void {
    this.end();
    this.#socket.terminate();
  }
}
