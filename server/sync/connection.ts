import type { WebSocket } from 'ws';
import { closeCode, LIMITS, type RefusalCode, whyNot } from '../../lib/protocol';
import type { Clock, Entered, Session } from '../ports';
import { keptFrame } from './frames';
import type { PresenceOwner } from './presence';

/** One socket, with the rights that its session had when it came and what it has been told. */
export class Connection implements PresenceOwner {
  readonly sessionId: string;
  readonly expiresAt: number;
  readonly bandId: string;
  readonly linkId: string | null;
  readonly kind: Entered['kind'];
  playerId: string | null;
  /** Update-bearing frames taken so far. */
  taken = 0;
  /** Whether it has answered since the last sign of life. */
  alive = true;
  readonly #socket: WebSocket;
  readonly #clock: Clock;
  #kept = 0;
  #keptIsDue = false;
  #over = false;
  /** Set while it is in a room: the way out of it. */
  #exit: (() => void) | null = null;
  #allowance: number = LIMITS.framesAtOnce;
  #allowanceAt: number;

  constructor(socket: WebSocket, session: Session, entered: Entered, clock: Clock) {
    this.#socket = socket;
    this.#clock = clock;
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

  send(frame: Uint8Array): void {
    if (this.#over) return;
    if (this.#socket.bufferedAmount > LIMITS.unsent) {
      this.refuse('too slow');
      this.#socket.terminate();
      return;
    }
    this.#socket.send(frame);
  }

  /** Says that the first `count` frames are kept; several in one go are said once. */
  keep(count: number): void {
    this.#kept = Math.max(this.#kept, count);
    if (this.#keptIsDue || this.#over) return;
    this.#keptIsDue = true;
    setImmediate(() => {
      this.#keptIsDue = false;
      this.sendKept();
    });
  }

  sendKept(): void {
    this.send(keptFrame(this.#kept));
  }

  /** Whether one more frame is within the limit. */
  allow(): boolean {
    const now = this.#clock();
    const gained = ((now - this.#allowanceAt) / 1000) * LIMITS.framesEachSecond;
    this.#allowance = Math.min(LIMITS.framesAtOnce, this.#allowance + gained);
    this.#allowanceAt = now;
    this.#allowance -= 1;
    return this.#allowance >= 0;
  }

  ping(): void {
    this.alive = false;
    if (!this.#over) this.#socket.ping();
  }

  /** Closes the socket with the catalogue's code. */
  refuse(code: RefusalCode): void {
    if (this.#over) return;
    this.end();
    this.#socket.close(closeCode(code), whyNot(code).what.slice(0, 120));
  }

  /** The socket has closed or is being closed: out of the room at once. */
  end(): void {
    this.#over = true;
    const exit = this.#exit;
    this.#exit = null;
    exit?.();
  }

  terminate(): void {
    this.end();
    this.#socket.terminate();
  }
}
