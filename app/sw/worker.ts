import { cacheFor, isPagesOf, type KeptMessage, readKeepMessage, SHELL } from './names';
import { isKeepable, putPage, trimPages } from './pages';

/**
 * Serves pages that were opened on this device when the server cannot: their HTML as it last came, and the scripts,
 * styles and letters that they need. Documents are no affair of this: the page holds them. A page of a band is kept
 * only when it asks for it, apart from other bands', and goes when the device leaves the band.
 */

/** Addresses of the build's scripts and styles; put in by the build. */
declare const SHELL_FILES: readonly string[];

/** What a service worker has beside a page; the DOM's own types leave it out. */
interface LongEvent extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface RequestEvent extends LongEvent {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface WordEvent extends LongEvent {
  readonly data: unknown;
  readonly ports: readonly MessagePort[];
}
declare const self: {
  addEventListener(type: 'install' | 'activate', listener: (event: LongEvent) => void): void;
  addEventListener(type: 'fetch', listener: (event: RequestEvent) => void): void;
  addEventListener(type: 'message', listener: (event: WordEvent) => void): void;
  skipWaiting(): Promise<void>;
  readonly clients: { claim(): Promise<void> };
  readonly location: Location;
};

/** A page that is held here is shown after so many milliseconds without an answer. */
const PATIENCE = 3000;
/** Files of the shell that stay, of this build and those that older pages need. */
const FILES = 400;

/** Pages that came in answer to a navigation and may be asked to be kept a moment later. */
const arrived = new Map<string, Response>();

self.addEventListener('install', (event) => event.waitUntil(self.skipWaiting()));
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()));

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== self.location.origin) return;
  if (isShell(url)) event.respondWith(fromShell(request));
  else if (request.mode === 'navigate' && cacheFor(url.pathname))
    event.respondWith(page(event, url.pathname));
});

self.addEventListener('message', (event) => {
  const message = readKeepMessage(event.data);
  if (!message || !cacheFor(message.path)) return;
  event.waitUntil(
    keep(message.path)
      .then(() => keepShell([...SHELL_FILES, ...message.loaded]))
      .then((missing) => {
        const word: KeptMessage = { kind: 'kept', missing };
        event.ports[0]?.postMessage(word);
      }),
  );
});

/** A file's name changes with what is in it, so one that is held is right. */
async function fromShell(request: Request): Promise<Response> {
  const held = await caches.match(request, { cacheName: SHELL, ignoreVary: true });
  const response = held ?? (await fetch(request));
  if (!held && response.status === 200) {
    const cache = await caches.open(SHELL);
    await cache.put(request, response.clone()).catch(() => {});
  }
  // A worker reads what stands behind the # of its address. An answer with an address of its own, which has no such
  // part, would take the place of the one that was asked for.
  const { status, headers } = response;
  return request.destination === 'worker' ? new Response(response.body, { status, headers }) : response;
}

async function page(event: RequestEvent, path: string): Promise<Response> {
  const fresh = fetch(event.request).then((response) => {
    if (response.status >= 502 && response.status <= 504) throw new Error('the server is not up');
    if (isKeepable(response)) {
      arrived.clear();
      arrived.set(path, response.clone());
    }
    return response;
  });
  const held = await holding(path);
  if (!held) return fresh.catch(() => notHere());
  event.waitUntil(fresh.catch(() => {}));
  return Promise.race([fresh.catch(() => held), after(PATIENCE).then(() => held)]);
}

async function holding(path: string): Promise<Response | null> {
  const cacheName = cacheFor(path);
  if (!cacheName || !(await caches.has(cacheName))) return null;
  // What Next varies its answers by is for its own requests; these are navigations.
  const held = await caches.match(path, { cacheName, ignoreVary: true });
  return held ?? null;
}

/** Keeps a page as the server now gives it. */
async function keep(path: string): Promise<void> {
  const response = arrived.get(path) ?? (await fetch(path, { cache: 'no-store' }).catch(() => null));
  arrived.delete(path);
  if (!response || (await putPage(path, response).catch(() => null)) === null) return;
  const bandId = isPagesOf(cacheFor(path) ?? '');
  if (bandId !== null) await trimPages(bandId);
}

/**
 * Holds what pages need without the server, also what this one has not asked for yet.
 *
 * @returns what could not be had
 */
async function keepShell(addresses: readonly string[]): Promise<readonly string[]> {
  const urls = [...new Set(addresses)].map((address) => new URL(address, self.location.origin));
  const files = urls.filter((url) => url.origin === self.location.origin && isShell(url));
  const cache = await caches.open(SHELL);
  const missing: string[] = [];
  for (const url of files) {
    if (await cache.match(url, { ignoreVary: true })) continue;
    const response = await fetch(url).catch(() => null);
    const isPut = response?.status === 200 && (await cache.put(url, response).then(isDone, isNot));
    if (!isPut) missing.push(url.pathname);
  }
  await trim(cache, FILES, new Set(files.map((url) => url.href)));
  return missing;
}

/** Takes out what came first, and nothing that is `wanted`. */
async function trim(cache: Cache, most: number, wanted: ReadonlySet<string> = new Set()): Promise<void> {
  const keys = await cache.keys();
  const beyond = keys.filter((key) => !wanted.has(key.url)).slice(0, Math.max(0, keys.length - most));
  await Promise.all(beyond.map((key) => cache.delete(key)));
}

const isDone = () => true;
const isNot = () => false;
const isShell = (url: URL): boolean => url.pathname.startsWith('/_next/static/');

const after = (milliseconds: number): Promise<void> =>
  new Promise((resolve) => setTimeout(resolve, milliseconds));

function notHere(): Response {
  const text = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Not connected · Breathmark</title><style>
:root { color-scheme: light dark; font: 1.125rem/1.5 'Literata Variable', Georgia, serif }
body { max-width: 36rem; margin: 3rem auto; padding: 0 1rem; background: light-dark(#faf6ee, #14110d); color: light-dark(#211c16, #ede6d8) }
h1 { font-weight: 500; line-height: 1.2 } a { color: inherit; display: inline-block; padding-block: 0.6rem; margin-inline-end: 2rem }
</style><h1>This page is not on this device</h1>
<p>Breathmark cannot be reached, and this page was not opened here before. Songs that were opened here can be read and
edited without a connection: go to one of them, or try again when you are connected.</p>
<p><a href="/">Your bands</a><a href="">Try again</a></p>`;
  return new Response(text, { status: 503, headers: { 'Content-Type': 'text/html; charset=utf-8' } });
}
