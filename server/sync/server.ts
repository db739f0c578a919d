import type { IncomingMessage } from 'node:http';
import type { Duplex } from 'node:stream';
import { type RawData, type WebSocket, WebSocketServer } from 'ws';
import { closeCode, LIMITS, parseDocument, type RefusalCode, whyNot } from '../../lib/protocol';
import type { Access, Clock, Entered, Session } from '../ports';
import { Connection } from './connection';
import { type Frame, readFrame } from './frames';
import type { Rooms } from './rooms';

/** Pages hang up after 30 s of silence; a sign of life comes well before. */
const SIGN_OF_LIFE_MILLISECONDS = 12_000;
/** The sockets are looked at in so many parts, one after the other, in that time. */
const PARTS = 12;
/** How long sockets have to say goodbye when the server stops. */
const FAREWELL_MILLISECONDS = 300;
/** How long a new cookie may be on its way before the sockets of the old one are sent to fetch it. */
const NEW_COOKIE_MILLISECONDS = 2000;

export interface SyncOptions {
  readonly rooms: Rooms;
  readonly access: Access;
  readonly clock: Clock;
  readonly signOfLifeMilliseconds?: number;
  /** Sockets that one band may have open; by default LIMITS.socketsForBand. */
  readonly socketsForBand?: number;
}

interface Admission {
  readonly session: Session;
  readonly entered: Entered;
}

function terminate(this: WebSocket): void {
  this.terminate();
}

/** What a server does at a socket's events. One of each for all sockets: a server of thousands pays for every function. */
interface Ears {
  message(this: WebSocket, data: RawData, isBinary: boolean): void;
  pong(this: WebSocket): void;
  close(this: WebSocket): void;
}

/** The sockets of one server: lets them in by their session, hands their frames to the rooms, and sees them out. */
export class SyncServer {
  readonly #rooms: Rooms;
  readonly #access: Access;
  readonly #clock: Clock;
  // Frames somewhat beyond the limit are read, so that the refusal can be ours; the rest the socket's layer refuses.
  readonly #sockets = new WebSocketServer({ noServer: true, maxPayload: LIMITS.frame * 2 });
  readonly #connections = new Map<WebSocket, Connection>();
  readonly #timer: NodeJS.Timeout;
  readonly #stopListening: () => void;
  readonly #socketsForBand: number;
  readonly #ears = this.#makeEars();
  #part = 0;
  #stopping = false;

  constructor(options: SyncOptions) {
    this.#rooms = options.rooms;
    this.#access = options.access;
    this.#clock = options.clock;
    this.#socketsForBand = options.socketsForBand ?? LIMITS.socketsForBand;
    this.#timer = setInterval(
      () => this.#signOfLife(),
      (options.signOfLifeMilliseconds ?? SIGN_OF_LIFE_MILLISECONDS) / PARTS,
    );
    this.#timer.unref();
    this.#stopListening = options.access.listen({
      linkEnded: (bandId, linkId, by) => {
        this.#each(bandId, (connection) => {
          if (connection.linkId !== linkId) return;
          if (connection.sessionId !== by) connection.refuse('not your band');
          else connection.comesAgainAt = this.#clock() + NEW_COOKIE_MILLISECONDS;
        });
      },
      named: (sessionId, bandId, playerId) => {
        this.#each(bandId, (connection) => {
          if (connection.sessionId === sessionId) connection.playerId = playerId;
        });
      },
      left: (sessionId, bandId) => {
        this.#each(bandId, (connection) => {
          if (connection.sessionId === sessionId) connection.refuse('not your band');
        });
      },
      bandDeleted: (bandId) => this.#each(bandId, (connection) => connection.refuse('band deleted')),
    });
  }

  get connectionCount(): number {
    return this.#connections.size;
  }

  /** Bytes that wait for the readers, all together. */
  get backlog(): number {
    let bytes = 0;
    for (const connection of this.#connections.values()) bytes += connection.backlog;
    return bytes;
  }

  /** Takes over an upgrade to the document of that name. The request's origin has been looked at. */
  async accept(request: IncomingMessage, socket: Duplex, head: Buffer, name: string): Promise<void> {
    const onError = () => socket.destroy();
    socket.on('error', onError);
    const admission = await this.#admit(request, name);
    if (socket.destroyed) return;
    socket.off('error', onError);
    this.#sockets.handleUpgrade(request, socket, head, (ws) => this.#welcome(ws, socket, admission, name));
  }

  // Apart from `accept`, so that what lives as long as the socket does not hold on to the request.
  #welcome(ws: WebSocket, stream: Duplex, admission: Admission | RefusalCode, name: string): void {
    ws.on('error', terminate);
    if (typeof admission === 'string') {
      // Said after the handshake: a page cannot see why a handshake was refused.
      ws.close(closeCode(admission), whyNot(admission).what.slice(0, 120));
      return;
    }
    const { session, entered } = admission;
    const line = { socket: ws, stream };
    const connection = new Connection(line, session, entered, this.#clock, this.#rooms.paces);
    this.#connections.set(ws, connection);
    ws.on('message', this.#ears.message);
    ws.on('pong', this.#ears.pong);
    ws.on('close', this.#ears.close);
    this.#bringIn(connection, name);
  }

  async #admit(request: IncomingMessage, name: string): Promise<Admission | RefusalCode> {
    if (this.#stopping) return 'stopping';
    const document = parseDocument(name);
    if (document === null) return 'not found';
    const session = this.#access.session(request.headers.cookie ?? null);
    try {
      const entered = await this.#access.entered(session, document.bandId);
      if (!entered.ok) return entered.error.code;
      if (session === null) return 'no session';
      let open = 0;
      this.#each(document.bandId, () => {
        open += 1;
      });
      if (open >= this.#socketsForBand) return 'too many at once';
      return { session, entered: entered.value };
    } catch {
      return 'our fault';
    }
  }

  #makeEars(): Ears {
    const connections = this.#connections;
    const take = (connection: Connection, data: RawData, isBinary: boolean): void => {
      if (connection.over) return;
      const frame = this.#read(connection, data, isBinary);
      if (frame !== null) connection.take(frame, sizeOf(data));
    };
    return {
      message(data, isBinary) {
        const connection = connections.get(this);
        if (connection !== undefined) take(connection, data, isBinary);
      },
      pong() {
        connections.get(this)?.answered();
      },
      close() {
        connections.get(this)?.end();
        connections.delete(this);
      },
    };
  }

  #bringIn(connection: Connection, name: string): void {
    this.#rooms.hold(name).then(
      (room) => {
        if (room === null) connection.refuse('not found');
        else if (connection.over || room.state !== 'open') {
          connection.refuse('not loaded');
          this.#rooms.release(room);
        } else connection.enter(room);
      },
      () => connection.refuse('not loaded'),
    );
  }

  /** The frame; null, and the socket refused, where there is none. */
  #read(connection: Connection, data: RawData, isBinary: boolean): Frame | null {
    connection.answered();
    if (!connection.allow()) {
      connection.refuse('too often');
      return null;
    }
    if (sizeOf(data) > LIMITS.frame) {
      connection.refuse('too large');
      return null;
    }
    const frame = isBinary ? readFrame(bytesOf(data)) : null;
    if (frame === null) connection.refuse('bad frame');
    return frame;
  }

  /** Looks at a part of the sockets, so that a server of thousands does not stop to ask all of them at once. */
  #signOfLife(): void {
    const now = this.#clock();
    this.#part = (this.#part + 1) % PARTS;
    for (const connection of [...this.#connections.values()]) {
      if (connection.expiresAt <= now) connection.refuse('session over');
      else if (connection.comesAgainAt !== null && connection.comesAgainAt <= now)
        connection.refuse('come again');
      else if (connection.number % PARTS === this.#part) this.#askForLife(connection);
    }
  }

  #askForLife(connection: Connection): void {
    if (!connection.showedLife()) {
      connection.terminate();
      return;
    }
    connection.ping();
    if (connection.inRoom) connection.sendKept();
  }

  #each(bandId: string, act: (connection: Connection) => void): void {
    for (const connection of [...this.#connections.values()])
      if (connection.bandId === bandId) act(connection);
  }

  /** Commits what was taken, tells every socket, and closes them. */
  async stop(): Promise<void> {
    this.#stopping = true;
    clearInterval(this.#timer);
    this.#stopListening();
    await this.#rooms.settle();
    const closed = [...this.#connections].map(
      ([ws, connection]) =>
        new Promise<void>((resolve) => {
          ws.once('close', () => resolve());
          connection.refuse('stopping');
        }),
    );
    let timer: NodeJS.Timeout | undefined;
    const late = new Promise<void>((resolve) => {
      timer = setTimeout(resolve, FAREWELL_MILLISECONDS);
    });
    await Promise.race([Promise.all(closed), late]);
    clearTimeout(timer);
    for (const ws of this.#connections.keys()) ws.terminate();
    await this.#rooms.settle();
  }
}

function sizeOf(data: RawData): number {
  return Array.isArray(data) ? data.reduce((sum, part) => sum + part.length, 0) : data.byteLength;
}

function bytesOf(data: RawData): Uint8Array {
  if (Array.isArray(data)) return new Uint8Array(Buffer.concat(data));
  return data instanceof ArrayBuffer ? new Uint8Array(data) : data;
}
