import { randomBytes, randomInt } from 'node:crypto';
import type { IncomingMessage, Server, ServerResponse } from 'node:http';
import type { Duplex } from 'node:stream';
import { makeIds } from '../lib/base';
import { migrate, tidy } from '../lib/document';
import { LIMITS, SYNC_PATH } from '../lib/protocol';
import { bandAccess, RateLimit, Slots } from './access';
import {
  Api,
  allowPage,
  BandFiles,
  DEMO_BAND_ID,
  type Demo,
  House,
  type Origins,
  originsBehind,
  PageGate,
  Printer,
  type ReadLimits,
  SongReader,
  seedDemo,
  setHeaders,
  type ThreadLimits,
} from './http';
import type { Watch } from './ops';
import type { Clock, Store } from './ports';
import { Rooms, SyncServer } from './sync';

/** Milliseconds that a request may take to say what it wants, and to be sent whole. */
const HEADERS_WITHIN = 15_000;
const REQUEST_WITHIN = 120_000;

export interface ComposeOptions {
  readonly store: Store;
  /** Signs the session cookies. */
  readonly key: Uint8Array;
  readonly clock: Clock;
  readonly demo: () => Promise<Demo>;
  /** Told of what went wrong on our side. */
  readonly report: (error: unknown) => void;
  /** Counts requests and answers those about the server itself. */
  readonly watch?: Watch;
  readonly signOfLifeMilliseconds?: number;
  /** Proxies of our own before the server; by default none. */
  readonly trustedProxies?: number;
  /** Serving from the sources. */
  readonly dev?: boolean;
  readonly limits?: Partial<ServerLimits>;
}

/** How much one address or band may have at once; by default as in LIMITS. */
export interface ServerLimits {
  readonly socketsFromAddress: number;
  readonly socketsForBand: number;
  readonly sockets: number;
  /** Sockets that one address may open in a minute, and at once. */
  readonly upgradesEachMinute: number;
  readonly reading: Partial<ReadLimits>;
  readonly printing: Partial<ThreadLimits>;
}

export interface PageHandlers {
  readonly draw: (request: IncomingMessage, response: ServerResponse) => Promise<void>;
  /** Upgrades that are not ours; null: refused. */
  readonly upgrade: ((request: IncomingMessage, socket: Duplex, head: Buffer) => void) | null;
}

/** One of each, wired: everything of the server but its port, its pages and its signals. */
export class Composed {
  readonly house: House;
  readonly rooms: Rooms;
  readonly sync: SyncServer;
  readonly #api: Api;
  readonly #printer: Printer;
  readonly #upgrades: RateLimit;
  readonly #access;
  readonly #slots: Slots<Duplex>;
  /** One for all sockets. */
  readonly #hungUp: (this: Duplex) => void;
  readonly #origins: Origins;
  readonly #gate: PageGate;
  readonly #options: ComposeOptions;

  private constructor(
    options: ComposeOptions,
    hasDemo: boolean,
    rooms: Rooms,
    access: ReturnType<typeof bandAccess>,
  ) {
    const { clock, report, limits = {} } = options;
    this.#options = options;
    this.#access = access;
    this.rooms = rooms;
    this.house = new House({ access, rooms, clock, makeId: freshIds, hasDemo });
    const origins = originsBehind(options.trustedProxies ?? 0);
    this.#origins = origins;
    this.#gate = new PageGate({ origins, clock, dev: options.dev ?? false });
    const songs = new SongReader(limits.reading);
    this.#printer = new Printer({
      pages: this.house,
      clock,
      makeId: freshIds,
      report,
      ...(limits.printing === undefined ? {} : { limits: limits.printing }),
    });
    const bandFiles = new BandFiles({
      access,
      rooms,
      makeId: freshIds,
      ...(limits.reading === undefined ? {} : { reading: limits.reading }),
    });
    this.#api = new Api({
      house: this.house,
      access,
      clock,
      report,
      origins,
      songs,
      printer: this.#printer,
      bandFiles,
    });
    this.sync = new SyncServer({
      rooms,
      access,
      clock,
      ...(limits.socketsForBand === undefined ? {} : { socketsForBand: limits.socketsForBand }),
      ...(options.signOfLifeMilliseconds === undefined
        ? {}
        : { signOfLifeMilliseconds: options.signOfLifeMilliseconds }),
    });
    const upgrades = limits.upgradesEachMinute ?? 600;
    this.#upgrades = new RateLimit(upgrades, upgrades, clock);
    const slots = new Slots<Duplex>(
      limits.socketsFromAddress ?? LIMITS.socketsFromAddress,
      limits.sockets ?? LIMITS.sockets,
    );
    this.#slots = slots;
    this.#hungUp = function () {
      slots.giveBack(this);
    };
  }

  /** Makes the demo band where there is none; without it (its making is reported) the server is as good as with it. */
  static async make(options: ComposeOptions): Promise<Composed> {
    const { store, key, clock, report } = options;
    const access = bandAccess({
      store,
      key,
      clock,
      secrets: randomBytes,
      makeId: freshIds,
      openBandId: DEMO_BAND_ID,
    });
    const rooms = new Rooms(store, {
      prepare(doc) {
        migrate(doc);
        tidy(doc, clock());
      },
    });
    const hasBand = await store.hasBand(DEMO_BAND_ID);
    const hasDemo = await seedDemo(rooms, access, hasBand, options.demo).catch((error: unknown) => {
      report(error);
      return false;
    });
    return new Composed(options, hasDemo, rooms, access);
  }

  /** Answers the requests and upgrades of an HTTP server. */
  serve(server: Server, pages: PageHandlers): void {
    server.headersTimeout = HEADERS_WITHIN;
    server.requestTimeout = REQUEST_WITHIN;
    server.on('request', (request, response) => {
      setHeaders(response, { secure: this.#origins.isSecure(request) });
      const path = pathOf(request);
      if (this.#options.watch?.takes(request, response, path)) return;
      const done = /^\/api(\/|$)/.test(path)
        ? this.#api.handle(request, response, path)
        : this.#page(request, response, path, pages);
      done.catch((error: unknown) => {
        this.#options.report(error);
        if (!response.headersSent) response.writeHead(500, { 'Content-Type': 'text/plain; charset=utf-8' });
        response.end('Something went wrong on the server. Try again; what was shown as kept is kept.');
      });
    });
    server.on('upgrade', (request, socket, head) => this.#upgrade(request, socket, head, pages));
  }

  async #page(
    request: IncomingMessage,
    response: ServerResponse,
    path: string,
    pages: PageHandlers,
  ): Promise<void> {
    if (this.#gate.takes(request, response, path)) return;
    const session = path.startsWith('/_next/') ? null : this.#access.session(request.headers.cookie ?? null);
    const renewed = session === null ? null : this.#access.renewed(session);
    const secure = this.#origins.isSecure(request);
    if (renewed !== null) response.setHeader('Set-Cookie', this.#access.cookie(renewed, secure));
    allowPage(request, response, randomBytes(16).toString('base64'), {
      secure,
      dev: this.#options.dev ?? false,
    });
    await pages.draw(request, response);
  }

  #upgrade(request: IncomingMessage, socket: Duplex, head: Buffer, pages: PageHandlers): void {
    const path = pathOf(request);
    if (!path.startsWith(`${SYNC_PATH}/`)) {
      if (pages.upgrade) pages.upgrade(request, socket, head);
      else refuseUpgrade(socket, '404 Not Found');
    } else if (!this.#origins.fromOwnPage(request)) {
      refuseUpgrade(socket, '403 Forbidden');
    } else if (!this.#upgrades.take(this.#origins.addressOf(request))) {
      refuseUpgrade(socket, '429 Too Many Requests');
    } else if (!this.#slots.take(socket, this.#origins.addressOf(request))) {
      refuseUpgrade(socket, '503 Service Unavailable');
    } else {
      socket.on('close', this.#hungUp);
      this.sync.accept(request, socket, head, path.slice(SYNC_PATH.length + 1)).catch((error: unknown) => {
        this.#options.report(error);
        socket.destroy();
      });
    }
  }

  /** Commits what was taken, tells the sockets, closes the store. */
  async stop(): Promise<void> {
    this.#printer.stop();
    await this.sync.stop();
    await this.#options.store.close();
  }
}

const freshIds = makeIds(() => randomInt(2 ** 32) / 2 ** 32);

const pathOf = (request: IncomingMessage): string => (request.url ?? '/').split('?')[0] ?? '/';

function refuseUpgrade(socket: Duplex, status: string): void {
  socket.on('error', () => socket.destroy());
  socket.end(`HTTP/1.1 ${status}\r\nConnection: close\r\n\r\n`);
}
