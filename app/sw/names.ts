import { isId } from '../../lib/protocol';

/** Scripts, styles and letters: the same for everybody. */
export const SHELL = 'breathmark shell';
/** The home page, which names the bands that the device is in. */
export const HOME_PAGES = 'breathmark home';

const PAGES_OF = 'breathmark band ';

/** Pages of one band: what has to go when the device leaves it. */
export const pagesOf = (bandId: string): string => PAGES_OF + bandId;

/** The band whose pages a cache of that name holds; null: none. */
export function isPagesOf(name: string): string | null {
  const bandId = name.startsWith(PAGES_OF) ? name.slice(PAGES_OF.length) : '';
  return isId(bandId) ? bandId : null;
}

/** What of a band's songs was seen last on this device. */
export const seenOf = (bandId: string): string => `breathmark seen ${bandId}`;

/** The evenings of a band that were taken along on this device: a note of each, and its songs as they were then. */
export const eveningsOf = (bandId: string): string => `breathmark evenings ${bandId}`;

/** The addresses of the notes in it begin so; what else lies there does not. */
export const EVENING_NOTES = '/evening/';

/** What this device printed of a band: its names in the device's storage begin so. */
export const printedOf = (bandId: string): string => `breathmark.printed ${bandId} `;

/** The cache that a page belongs in by its path; null: it is not kept. */
export function cacheFor(path: string): string | null {
  if (path === '/') return HOME_PAGES;
  const bandId = /^\/band\/([^/]+)(?:\/|$)/.exec(path)?.[1] ?? '';
  return isId(bandId) ? pagesOf(bandId) : null;
}

/** Stands in the HTML of a page that may be kept: a refusal in its place has it not. */
export const MARK = 'data-kept-page';

/** A page asks to be kept. Where it sends a port along, the word that all of it is here comes back through it. */
export interface KeepMessage {
  readonly kind: 'keep';
  readonly path: string;
  /** Addresses of the scripts, styles and letters that it has loaded so far. */
  readonly loaded: readonly string[];
}

export function readKeepMessage(data: unknown): KeepMessage | null {
  if (typeof data !== 'object' || data === null) return null;
  const { kind, path, loaded } = Object.fromEntries(Object.entries(data));
  if (kind !== 'keep' || typeof path !== 'string' || !Array.isArray(loaded)) return null;
  return { kind, path, loaded: loaded.filter((one) => typeof one === 'string') };
}

/** The word that comes back: addresses among those that were asked for that could not be had. */
export interface KeptMessage {
  readonly kind: 'kept';
  readonly missing: readonly string[];
}

export function readKeptMessage(data: unknown): KeptMessage | null {
  if (typeof data !== 'object' || data === null) return null;
  const { kind, missing } = Object.fromEntries(Object.entries(data));
  if (kind !== 'kept' || !Array.isArray(missing)) return null;
  return { kind, missing: missing.filter((one) => typeof one === 'string') };
}
