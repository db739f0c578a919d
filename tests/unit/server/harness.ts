import { createServer } from 'node:http';
import { type AddressInfo, connect, createServer as createProxy, type Socket } from 'node:net';
import { WebSocket as NodeWebSocket } from 'ws';
import { type OpenOptions, openDocument } from '../../../app/sync';
import type { BandMade } from '../../../lib/protocol';
import { Composed, type ComposeOptions } from '../../../server/compose';
import type { Store } from '../../../server/ports';
import { memoryStore } from '../../../server/store';
import { mergeUpdates } from '../../../server/sync/merge';
import { socketsWith } from '../../sockets';

export interface Answer {
  readonly status: number;
  // biome-ignore lint/suspicious/noExplicitAny: what an answer holds is what each test looks at
  readonly body: any;
  /** The session cookie that came back, as it goes into a Cookie header. */
  readonly cookie: string | null;
  readonly headers: Headers;
}

export interface Ask {
  readonly method?: string;
  readonly cookie?: string | null;
  readonly body?: unknown;
  readonly raw?: string;
  readonly headers?: Readonly<Record<string, string>>;
}

/** A whole server without pages, on a free port, over the store that is given. */
export class TestServer {
  readonly composed: Composed;
  readonly port: number;
  readonly #close: () => Promise<void>;
  readonly #open: { destroy(): void }[] = [];
  #stopped = false;

  private constructor(composed: Composed, port: number, close: () => Promise<void>) {
    this.composed = composed;
    this.port = port;
    this.#close = close;
  }

  static async start(options: Partial<ComposeOptions> = {}, port = 0): Promise<TestServer> {
    const store: Store = options.store ?? memoryStore(mergeUpdates);
    const composed = await Composed.make({
      key: new Uint8Array(32).fill(7),
      clock: () => Date.now(),
      demo: async () => {
        throw new Error('no demo in this test');
      },
      report: () => {},
      ...options,
      store,
    });
    const server = createServer();
    composed.serve(server, {
      draw: async (_request, response) => {
        response.end('a page');
      },
      upgrade: null,
    });
    await new Promise<void>((done) => server.listen(port, '127.0.0.1', done));
    const close = async () => {
      const closed = new Promise<void>((done) => server.close(() => done()));
      await composed.stop();
      server.closeAllConnections();
      await closed;
    };
    return new TestServer(composed, (server.address() as AddressInfo).port, close);
  }

  get url(): string {
    return `http://127.0.0.1:${this.port}`;
  }

  async ask(path: string, { method, cookie, body, raw, headers }: Ask = {}): Promise<Answer> {
    const sends = body !== undefined || raw !== undefined;
    const response = await fetch(`${this.url}${path}`, {
      method: method ?? (sends ? 'POST' : 'GET'),
      headers: {
        ...(sends ? { 'Content-Type': 'application/json' } : {}),
        ...(cookie ? { Cookie: cookie } : {}),
        ...headers,
      },
      ...(sends ? { body: raw ?? JSON.stringify(body) } : {}),
    });
    const text = await response.text();
    const set = response.headers.get('set-cookie');
    return {
      status: response.status,
      body: response.headers.get('content-type')?.startsWith('application/json') ? JSON.parse(text) : text,
      cookie: set === null ? null : (set.split(';')[0] ?? null),
      headers: response.headers,
    };
  }

  async newBand(): Promise<{ band: BandMade; cookie: string }> {
    const made = await this.ask('/api/bands', {
      body: { name: 'The Testers', yourName: 'Ada Q', yourInstrument: 'guitar' },
    });
    if (made.status !== 201 || made.cookie === null) throw new Error(`no band: ${JSON.stringify(made.body)}`);
    return { band: made.body, cookie: made.cookie };
  }

  /** A cookie of a device that came in by a link's path. */
  async enterBy(path: string): Promise<string> {
    const entered = await this.ask('/api/enter', { body: { secret: path.split('#')[1] } });
    if (entered.cookie === null) throw new Error(`not let in: ${JSON.stringify(entered.body)}`);
    return entered.cookie;
  }

  open(name: string, cookie: string | null, options: OpenOptions = {}) {
    const opened = openDocument(name, {
      origin: `ws://127.0.0.1:${this.port}`,
      sockets: socketsWith(cookie),
      longestWait: 50,
      ...options,
    });
    this.#open.push(opened);
    return opened;
  }

  /** A bare socket. */
  socket(name: string, cookie: string | null, headers: Record<string, string> = {}): NodeWebSocket {
    return new NodeWebSocket(`ws://127.0.0.1:${this.port}/sync/${name}`, {
      headers: { ...(cookie ? { Cookie: cookie } : {}), ...headers },
    });
  }

  async stop(): Promise<void> {
    if (this.#stopped) return;
    this.#stopped = true;
    for (const opened of this.#open) opened.destroy();
    await this.#close();
  }

  /** Ends the server under its clients' hands. */
  async pullThePlug(): Promise<void> {
    this.#stopped = true;
    await this.#close();
  }

  destroyClients(): void {
    for (const opened of this.#open) opened.destroy();
  }
}

/** A socket that shakes hands and from then on takes nothing off its line. */
export function neverReads(port: number, name: string, cookie: string): Promise<Socket> {
  return new Promise((done, fail) => {
    const socket = connect(port, '127.0.0.1');
    socket.on('error', () => {});
    socket.write(
      `GET /sync/${name} HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n` +
        `Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\nCookie: ${cookie}\r\n\r\n`,
    );
    socket.once('data', (data) => {
      if (!data.toString('latin1').includes(' 101 ')) fail(new Error('not let in'));
      socket.pause();
      done(socket);
    });
  });
}

/**
 * A line to the server that can fall silent without being closed (nothing goes through any more, either way), be cut, and
 * be mended for those who come anew.
 */
export async function lineThrough(port: number) {
  const ends = new Set<Socket>();
  let isSilent = false;
  let isDown = false;
  const proxy = createProxy();
  proxy.on('connection', (near) => {
    if (isDown) {
      near.destroy();
      return;
    }
    const far = connect(port, '127.0.0.1');
    for (const [one, other] of [
      [near, far],
      [far, near],
    ] as const) {
      ends.add(one);
      one.on('error', () => {});
      one.on('data', (data) => {
        if (!isSilent) other.write(data);
      });
      one.on('close', () => {
        ends.delete(one);
        if (!isSilent) other.destroy();
      });
    }
  });
  await new Promise<void>((done) => proxy.listen(0, '127.0.0.1', done));
  const address = proxy.address();
  const cut = () => {
    for (const end of ends) end.destroy();
  };
  return {
    origin: `ws://127.0.0.1:${typeof address === 'object' && address ? address.port : 0}`,
    hush(): void {
      isSilent = true;
    },
    /** Ends what goes through, and lets nobody through until it is mended. */
    cut(): void {
      isDown = true;
      cut();
    },
    mend(): void {
      cut();
      isSilent = false;
      isDown = false;
    },
    close(): void {
      cut();
      proxy.close();
    },
  };
}

/** Sockets of one page that can be cut under its hands, and made hard to reach the server by. */
export function cuttable(cookie: string | null) {
  const open = new Set<NodeWebSocket>();
  let isDown = false;
  class Cuttable extends NodeWebSocket {
    constructor(url: string | URL, protocols?: string | string[]) {
      super(isDown ? 'ws://127.0.0.1:9' : url, protocols, {
        headers: cookie === null ? {} : { Cookie: cookie },
      });
      open.add(this);
      this.on('close', () => open.delete(this));
    }
  }
  return {
    // As in `socketsWith`.
    sockets: Cuttable as unknown as typeof WebSocket,
    /** Ends what is open, with no word to either side. */
    cut(): void {
      for (const socket of open) socket.terminate();
    },
    /** While down, no new socket gets through. */
    down(down: boolean): void {
      isDown = down;
    },
    /** The sockets that are open. */
    open: open as ReadonlySet<NodeWebSocket>,
  };
}

/** Waits until something holds; the test's own time limit is the only clock. */
export async function until(holds: () => boolean): Promise<void> {
  while (!holds()) await new Promise((done) => setTimeout(done, 2));
}

/** The code by which a socket is closed. */
export function closed(socket: NodeWebSocket): Promise<number> {
  return new Promise((done) => {
    socket.on('close', (code) => done(code));
    socket.on('error', () => {});
  });
}

export interface Gate {
  readonly store: Store;
  /** While it is shut, edits wait; it is open at first. */
  shut(): void;
  open(): void;
  /** From now on nothing can be kept, or can again. */
  breakDown(broken: boolean): void;
  /** While true, loading fails. */
  failLoads(failing: boolean): void;
  readonly loads: () => number;
}

/** A store whose commits can be held back or made to fail. */
export function gated(inner: Store = memoryStore(mergeUpdates)): Gate {
  let wait: Promise<void> = Promise.resolve();
  let release: () => void = () => {};
  let broken = false;
  let failing = false;
  let loads = 0;
  const store: Store = {
    load: async (name) => {
      loads += 1;
      await new Promise((done) => setTimeout(done, 5));
      if (failing) throw new Error('the disk cannot be read');
      return inner.load(name);
    },
    append: async (name, update) => {
      await wait;
      if (broken) throw new Error('the disk is full');
      await inner.append(name, update);
    },
    create: (name, update) => inner.create(name, update),
    compact: (name) => inner.compact(name),
    probe: () => inner.probe(),
    addBand: (bandId, at) => inner.addBand(bandId, at),
    hasBand: (bandId) => inner.hasBand(bandId),
    deleteBand: (bandId) => inner.deleteBand(bandId),
    addLink: (link, hash) => inner.addLink(link, hash),
    links: (bandId) => inner.links(bandId),
    link: (linkId) => inner.link(linkId),
    linkBySecret: (hash) => inner.linkBySecret(hash),
    endLink: (bandId, linkId, at) => inner.endLink(bandId, linkId, at),
    close: () => inner.close(),
  };
  return {
    store,
    shut() {
      wait = new Promise((done) => {
        release = done;
      });
    },
    open() {
      release();
      wait = Promise.resolve();
    },
    breakDown(now) {
      broken = now;
    },
    failLoads(now) {
      failing = now;
    },
    loads: () => loads,
  };
}
