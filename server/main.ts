/**
 * Wires one of each and listens on one port: pages by Next, JSON under /api, documents under /sync.
 * `npm start` runs it built, `npm run dev` from the sources.
 */
import { randomBytes, randomInt } from 'node:crypto';
import { mkdirSync } from 'node:fs';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { makeIds } from '../lib/base';
import { migrate } from '../lib/document';
import { providePageData, SYNC_PATH } from '../lib/protocol';
import { bandAccess, loadKey, RateLimit } from './access';
import { Api, addressOf, DEMO_BAND_ID, fromOwnPage, House, isSecure, seedDemo, setHeaders } from './http';
import { type Store, systemClock } from './ports';
import { readSettings, type Settings } from './settings';
import { openSqliteStore, StoreInUse, StoreTooNew } from './store';
import { Rooms, SyncServer } from './sync';

const root = fileURLToPath(new URL('..', import.meta.url));
/** The longest that a stop may take, in milliseconds. */
const STOP_WITHIN = 900;

function leave(line: string): never {
  console.error(line);
  process.exit(1);
}

const report = (error: unknown): void => console.error(new Date().toISOString(), error);

function openStore(folder: string): Store {
  const file = join(folder, 'breathmark.sqlite');
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    return openSqliteStore(file);
  } catch (error) {
    if (error instanceof StoreInUse)
      leave(`Another Breathmark is using ${folder}: stop it, or set BREATHMARK_DATA to another folder.`);
    if (error instanceof StoreTooNew)
      leave(
        `${file} was written by a newer Breathmark: start that one, or set BREATHMARK_DATA to another folder.`,
      );
    const why = error instanceof Error ? error.message : String(error);
    leave(
      `${file} cannot be opened (${why}): see that the folder can be written to, or set BREATHMARK_DATA to another.`,
    );
  }
}

function listen(server: Server, { port, host }: Settings): Promise<void> {
  return new Promise((done) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE')
        leave(`Port ${port} is taken: stop what uses it, or choose another: npm start -- --port ${port + 1}`);
      if (error.code === 'EACCES')
        leave(
          `Port ${port} may not be used by this account: choose one above 1023: npm start -- --port 3000`,
        );
      leave(`Cannot listen on port ${port} (${error.message}): choose another: npm start -- --port 3000`);
    });
    server.listen({ port, ...(host === null ? {} : { host }) }, done);
  });
}

const settings = readSettings(process.argv.slice(2), process.env);
if (!settings.ok) leave(`${settings.error.what}: ${settings.error.mend}`);
const { port, dev, data } = settings.value;

/** Answers nothing before all is ready, and gets the port before anything else is begun. */
let answer: (request: IncomingMessage, response: ServerResponse) => void = (_request, response) => {
  response.writeHead(503, { 'Retry-After': '1' }).end('Breathmark is starting; try again in a moment.');
};
const server = createServer((request, response) => answer(request, response));
await listen(server, settings.value);

const folder = resolve(root, data);
const store = openStore(folder);
const makeId = makeIds(() => randomInt(2 ** 32) / 2 ** 32);
const clock = systemClock;
const access = bandAccess({ store, key: loadKey(folder), clock, secrets: randomBytes, makeId });
const rooms = new Rooms(store, { migrate });
const sync = new SyncServer({ rooms, access, clock });
const house = new House({ access, rooms, clock, makeId });
const api = new Api({ house, access, clock, report });
providePageData(house);
await seedDemo(rooms, access, await store.hasBand(DEMO_BAND_ID), async () =>
  (await import('./demo')).demoBand(),
);

process.env.NEXT_TELEMETRY_DISABLED = '1';
const { default: next } = await import('next');
// Next would listen for upgrades on the server itself; it gets a server of its own to listen on, that never opens.
const nextUpgrades = createServer();
const pages = next({ dev, dir: root, port, httpServer: nextUpgrades });
await pages.prepare();
const drawPage = pages.getRequestHandler();

async function page(request: IncomingMessage, response: ServerResponse, path: string): Promise<void> {
  const session = path.startsWith('/_next/') ? null : access.session(request.headers.cookie ?? null);
  const renewed = session === null ? null : access.renewed(session);
  if (renewed !== null) response.setHeader('Set-Cookie', access.cookie(renewed, isSecure(request)));
  await drawPage(request, response);
}

answer = (request, response) => {
  setHeaders(response);
  const path = (request.url ?? '/').split('?')[0] ?? '/';
  const done = /^\/api(\/|$)/.test(path)
    ? api.handle(request, response, path)
    : page(request, response, path);
  done.catch((error: unknown) => {
    report(error);
    if (!response.headersSent) response.writeHead(500, { 'Content-Type': 'text/plain; charset=utf-8' });
    response.end('Something went wrong on the server. Try again; what was shown as kept is kept.');
  });
};

const upgrades = new RateLimit(600, 600, clock);
server.on('upgrade', (request, socket, head) => {
  const path = (request.url ?? '/').split('?')[0] ?? '/';
  const name = path.startsWith(`${SYNC_PATH}/`) ? path.slice(SYNC_PATH.length + 1) : null;
  if (name === null) {
    if (dev) nextUpgrades.emit('upgrade', request, socket, head);
    else socket.end('HTTP/1.1 404 Not Found\r\nConnection: close\r\n\r\n');
  } else if (!fromOwnPage(request)) {
    socket.end('HTTP/1.1 403 Forbidden\r\nConnection: close\r\n\r\n');
  } else if (!upgrades.take(addressOf(request))) {
    socket.end('HTTP/1.1 429 Too Many Requests\r\nConnection: close\r\n\r\n');
  } else {
    sync.accept(request, socket, head, name).catch((error: unknown) => {
      report(error);
      socket.destroy();
    });
  }
});

let stopping = false;
async function stop(code: number): Promise<void> {
  if (stopping) process.exit(code);
  stopping = true;
  setTimeout(() => process.exit(code), STOP_WITHIN).unref();
  server.close();
  server.closeIdleConnections();
  await sync.stop();
  await store.close();
  server.closeAllConnections();
  process.exit(code);
}
for (const signal of ['SIGTERM', 'SIGINT'] as const) process.on(signal, () => void stop(0));
process.on('unhandledRejection', report);
process.on('uncaughtException', (error) => {
  report(error);
  void stop(1);
});

console.log(`Breathmark is at http://localhost:${port}`);
