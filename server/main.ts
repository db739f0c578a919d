/**
 * Listens on one port: pages by Next, JSON under /api, documents under /sync.
 * `npm start` runs it built, `npm run dev` from the sources.
 */
import { chmodSync, mkdirSync } from 'node:fs';
import { createServer, type Server, type ServerResponse } from 'node:http';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { providePageData } from '../lib/protocol';
import { loadKey } from './access';
import { Composed } from './compose';
import { type Store, systemClock } from './ports';
import { readSettings, type Settings } from './settings';
import { openSqliteStore, StoreInUse, StoreTooNew } from './store';

/** The longest that a stop may take, in milliseconds. */
const STOP_WITHIN = 900;

const report = (error: unknown): void => console.error(new Date().toISOString(), error);

function leave(line: string): never {
  console.error(line);
  process.exit(1);
}

function listen(server: Server, { port, host }: Settings): Promise<void> {
  return new Promise((done) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE')
        leave(
          `Port ${port} is taken: stop what uses it, or choose another: npm start -- --port ${port < 65535 ? port + 1 : 3000}`,
        );
      if (error.code === 'EACCES')
        leave(
          `Port ${port} may not be used by this account: choose one above 1023: npm start -- --port 3000`,
        );
      leave(`Cannot listen on port ${port} (${error.message}): choose another: npm start -- --port 3000`);
    });
    server.listen({ port, ...(host === null ? {} : { host }) }, done);
  });
}

function openStore(folder: string): Store {
  const file = join(folder, 'breathmark.sqlite');
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    const store = openSqliteStore(file);
    chmodSync(file, 0o600);
    return store;
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

const settings = readSettings(process.argv.slice(2), process.env);
if (!settings.ok) leave(`${settings.error.what}: ${settings.error.mend}.`);
const { port, dev, data } = settings.value;
const root = fileURLToPath(new URL('..', import.meta.url));
const folder = resolve(root, data);

// The port comes first: if it is taken, nothing else need be begun.
const server = createServer();
const notYet = (_request: unknown, response: ServerResponse): void => {
  response.writeHead(503, { 'Retry-After': '1' }).end('Breathmark is starting; try again in a moment.');
};
server.on('request', notYet);
await listen(server, settings.value);

const composed = await Composed.make({
  store: openStore(folder),
  key: loadKey(folder),
  clock: systemClock,
  trustedProxies: settings.value.trustedProxies,
  dev,
  demo: async () => (await import('./demo')).demoBand(),
  report,
});
providePageData(composed.house);

let stopping = false;
async function stop(code: number): Promise<void> {
  if (stopping) process.exit(code);
  stopping = true;
  setTimeout(() => process.exit(code), STOP_WITHIN).unref();
  server.close();
  await composed.stop();
  process.exit(code);
}
for (const signal of ['SIGTERM', 'SIGINT'] as const) process.on(signal, () => void stop(0));
process.on('unhandledRejection', report);
process.on('uncaughtException', (error) => {
  report(error);
  void stop(1);
});

process.env.NEXT_TELEMETRY_DISABLED = '1';
const { default: next } = await import('next');
// Next would listen for upgrades on the server itself; it gets one of its own to listen on, that never opens.
const upgrades = createServer();
const pages = next({ dev, dir: root, port, httpServer: upgrades });
await pages.prepare();

server.off('request', notYet);
composed.serve(server, {
  draw: pages.getRequestHandler(),
  upgrade: dev ? (request, socket, head) => void upgrades.emit('upgrade', request, socket, head) : null,
});
console.log(`Breathmark is at http://localhost:${port}`);
