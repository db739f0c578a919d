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
import { Metrics, makeLog, Watch } from './ops';
import { type Store, startThread, systemClock } from './ports';
import { readSettings, type Settings } from './settings';
import { openWorkerStore, StoreInUse, StoreTooNew } from './store';

/** The longest that a stop may take, in milliseconds. */
const STOP_WITHIN = 900;

function leave(line: string): never {
  console.error(line);
  process.exit(1);
}

let stopping = false;
/** Keeps what was taken, tells the sockets, and ends. */
async function stop(code: number): Promise<void> {
  if (stopping) process.exit(code);
  stopping = true;
  const started = performance.now();
  setTimeout(() => {
    log.warn('stopped before everybody had said goodbye');
    process.exit(code);
  }, STOP_WITHIN).unref();
  server.close();
  watch.stopping();
  await composed.stop();
  log.info({ milliseconds: Math.round(performance.now() - started) }, 'stopped');
  process.exit(code);
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

async function openStore(folder: string): Promise<Store> {
  const file = join(folder, 'breathmark.sqlite');
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    const isSource = import.meta.url.endsWith('.ts');
    const worker = new URL(isSource ? './store-worker.ts' : './store-worker.mjs', import.meta.url);
    const store = await openWorkerStore(startThread(worker, { workerData: file }), {
      events: watch.events,
      broken(error) {
        log.error({ err: error }, 'the store has broken down');
        stop(1).catch(() => process.exit(1));
      },
    });
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

// Whatever is written from here on, the store's own files too, is for this account's eyes alone.
process.umask(0o077);

const settings = readSettings(process.argv.slice(2), process.env);
if (!settings.ok) leave(`${settings.error.what}: ${settings.error.mend}.`);
const { port, dev, data } = settings.value;
const log = makeLog(settings.value.log);
const metrics = new Metrics();
metrics.ofProcess();
const watch = new Watch({ log, metrics, clock: systemClock });
const root = fileURLToPath(new URL('..', import.meta.url));
const folder = resolve(root, data);

// The port comes first: if it is taken, nothing else need be begun.
const server = createServer();
const notYet = (_request: unknown, response: ServerResponse): void => {
  response.writeHead(503, { 'Retry-After': '1' }).end('Breathmark is starting; try again in a moment.');
};
server.on('request', notYet);
await listen(server, settings.value);

const store = await openStore(folder);
watch.over(store);
const { report } = watch;
const composed = await Composed.make({
  store,
  watch,
  key: loadKey(folder),
  clock: systemClock,
  trustedProxies: settings.value.trustedProxies,
  dev,
  demo: async () => (await import('./demo')).demoBand(),
  report,
});
providePageData(composed.house);
watch.count({ rooms: () => composed.rooms.count, sockets: () => composed.sync.connectionCount });

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
log.info({ port, dev }, 'open');
console.log(`Breathmark is at http://localhost:${port}`);
