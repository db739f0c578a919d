import { cacheFor, EVENING_NOTES, eveningsOf, MARK, pagesOf } from './names';

/** How pages lie in a band's cache: put there by the service worker, and by a page that takes an evening along. */

/** The pages of one band that stay beside those of evenings that were taken along; the one longest unopened goes first. */
const PAGES = 60;

export function isKeepable(response: Response): boolean {
  const isPage = response.headers.get('content-type')?.startsWith('text/html') ?? false;
  return response.status === 200 && !response.redirected && isPage;
}

/**
 * Puts a page in its cache in place of the one before, with its headers: its own script policy goes with it.
 *
 * @returns its text; null where it is not one that may be kept, as a refusal in its place is not
 * @throws where the device has no room
 */
export async function putPage(path: string, response: Response): Promise<string | null> {
  const cacheName = cacheFor(path);
  if (!cacheName || !isKeepable(response)) return null;
  const text = await response.clone().text();
  if (!text.includes(MARK)) return null;
  const cache = await caches.open(cacheName);
  await cache.delete(path, { ignoreVary: true });
  await cache.put(path, response);
  return text;
}

/** Takes out the pages of a band that were opened longest ago. Those of an evening that was taken along stay, and do not count. */
export async function trimPages(bandId: string): Promise<void> {
  const cache = await caches.open(pagesOf(bandId));
  const keys = await cache.keys();
  const beyond = tooMany(
    keys.map(({ url }) => new URL(url).pathname),
    PAGES,
    await takenPages(bandId),
  );
  await Promise.all(beyond.map((path) => cache.delete(path, { ignoreVary: true })));
}

/** Of paths in the order in which they came, those that go so that at most `most` stay beside those that are wanted. */
export function tooMany(
  paths: readonly string[],
  most: number,
  wanted: ReadonlySet<string>,
): readonly string[] {
  const free = paths.filter((path) => !wanted.has(path));
  return free.slice(0, Math.max(0, free.length - most));
}

/** The pages of all evenings of a band that were taken along on this device. */
async function takenPages(bandId: string): Promise<ReadonlySet<string>> {
  if (!(await caches.has(eveningsOf(bandId)))) return new Set();
  const cache = await caches.open(eveningsOf(bandId));
  const keys = (await cache.keys()).filter(({ url }) => new URL(url).pathname.startsWith(EVENING_NOTES));
  const notes = await Promise.all(
    keys.map(async (key) => {
      const note: unknown = await (await cache.match(key))?.json().catch(() => null);
      return pagesIn(note);
    }),
  );
  return new Set(notes.flat());
}

/** The pages that a note of an evening names. */
function pagesIn(note: unknown): readonly string[] {
  if (typeof note !== 'object' || note === null || !('pages' in note) || !Array.isArray(note.pages))
    return [];
  return note.pages.filter((path) => typeof path === 'string');
}
