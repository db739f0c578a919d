import { equalityDeep } from 'lib0/function';
import * as Y from 'yjs';
import type { z } from 'zod';
import type { Fields } from './layout';

/** One item of a map, read: its value, or why there is none. */
export type Read<T> = { readonly value: T } | 'removed' | 'broken';

export const whole = <T>(schema: z.ZodType<T>, value: unknown): Read<T> => {
  const parsed = schema.safeParse(value);
  return parsed.success ? { value: parsed.data } : 'broken';
};

/** A value that was stored whole, as its fields; null for anything else. */
export function fieldsOf(raw: unknown): Fields | null {
  if (raw instanceof Y.Map) return raw.toJSON();
  return typeof raw === 'object' && raw !== null && !Array.isArray(raw) && !(raw instanceof Y.AbstractType)
    ? (raw as Fields)
    : null;
}

/**
 * The values of one top-level map of a document, by key. An item is read again only when it was changed, and keeps its
 * identity where reading it gives the same.
 */
export class Shelf<T> {
  readonly values = new Map<string, T>();
  /** Items that somebody removed: they and what hangs on them are not shown, and not broken. */
  readonly removed = new Set<string>();
  readonly broken = new Set<string>();
  readonly #map: Y.Map<unknown>;
  readonly #read: (raw: unknown, key: string) => Read<T>;
  #dirty = new Set<string>();

  constructor(map: Y.Map<unknown>, read: (raw: unknown, key: string) => Read<T>) {
    this.#map = map;
    this.#read = read;
    for (const key of map.keys()) this.#dirty.add(key);
    map.observeDeep((events) => {
      for (const event of events) {
        if (event.path.length > 0) this.#dirty.add(String(event.path[0]));
        else if (event instanceof Y.YMapEvent) for (const key of event.keysChanged) this.#dirty.add(key);
      }
    });
  }

  /** Reads what changed since the last call; true where that changed anything. */
  refresh(): boolean {
    if (this.#dirty.size === 0) return false;
    const dirty = this.#dirty;
    this.#dirty = new Set();
    let changed = false;
    for (const key of dirty) if (this.#refreshOne(key)) changed = true;
    return changed;
  }

  #refreshOne(key: string): boolean {
    const before = this.values.get(key);
    const was = this.removed.has(key) ? 'removed' : this.broken.has(key) ? 'broken' : null;
    const read = this.#map.has(key) ? this.#read(this.#map.get(key), key) : null;
    if (read !== null && typeof read === 'object') {
      if (before !== undefined && equalityDeep(before, read.value)) return false;
      this.values.set(key, read.value);
    } else {
      this.values.delete(key);
    }
    const is = read === 'removed' || read === 'broken' ? read : null;
    for (const [kind, keys] of [
      ['removed', this.removed],
      ['broken', this.broken],
    ] as const) {
      if (is === kind) keys.add(key);
      else keys.delete(key);
    }
    return before !== this.values.get(key) || was !== is;
  }
}

/** The list before, where the new one holds the very same items: so that what shows it need not be drawn again. */
export function share<T>(before: readonly T[] | undefined, now: readonly T[]): readonly T[] {
  return before && before.length === now.length && before.every((item, i) => Object.is(item, now[i]))
    ? before
    : now;
}

/** The value before, where all fields of the new one are the very same. */
export function shareFields<T extends object>(before: T | undefined, now: T): T {
  if (!before) return now;
  const old = new Map<string, unknown>(Object.entries(before));
  const entries = Object.entries(now);
  return entries.length === old.size && entries.every(([key, value]) => Object.is(old.get(key), value))
    ? before
    : now;
}
