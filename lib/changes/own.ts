import type { Song } from '../song';
import { same } from './types';

/**
 * A state of a song with what one person did to another state of it: what they changed from `before` to `after` is in it, and whatever
 * others had changed between `seen` and `before` is not. So who is told what changed since `seen` is not told what they did themselves.
 * What they did to a thing that `seen` does not have stays out.
 */
export const withOwn = (seen: Song, before: Song, after: Song): Song =>
  before === after ? seen : { ...seen, ...mergedFields(seen, before, after), id: seen.id };

type Fields = Readonly<Record<string, unknown>>;

const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function merged(seen: unknown, before: unknown, after: unknown): unknown {
  if (same(before, after)) return seen;
  if (same(seen, before)) return after;
  if (isFields(seen) && isFields(before) && isFields(after)) return mergedFields(seen, before, after);
  if (Array.isArray(seen) && Array.isArray(before) && Array.isArray(after))
    return mergedLists(seen, before, after);
  return after;
}

function mergedFields(seen: object, before: object, after: object): Fields {
  const names = new Set([...Object.keys(seen), ...Object.keys(before), ...Object.keys(after)]);
  const fields = [...names].map((name): readonly [string, unknown] => [
    name,
    merged(Reflect.get(seen, name), Reflect.get(before, name), Reflect.get(after, name)),
  ]);
  return Object.fromEntries(fields.filter(([, value]) => value !== undefined));
}

function mergedLists(
  seen: readonly unknown[],
  before: readonly unknown[],
  after: readonly unknown[],
): readonly unknown[] {
  const [there, was, is] = [byKey(seen), byKey(before), byKey(after)];
  if (!there || !was || !is) {
    // What has no name goes by where it stands, as long as nobody put anything in or took anything out.
    if (seen.length !== before.length || before.length !== after.length) return after;
    return seen.map((item, i) => merged(item, before[i], after[i]));
  }
  const kept = new Map<string, unknown>();
  for (const [key, item] of there) {
    const isOwnRemoval = was.has(key) && !is.has(key);
    if (!isOwnRemoval) kept.set(key, is.has(key) ? merged(item, was.get(key), is.get(key)) : item);
  }
  const made = [...is.keys()].filter((key) => !was.has(key) && !there.has(key));
  for (const key of made) kept.set(key, is.get(key));
  return orderOf([...there.keys()], [...was.keys()], [...is.keys()])
    .filter((key) => kept.has(key))
    .map((key) => kept.get(key));
}

/** In the order as it was seen, what is new after its neighbour; in the order of `is` where this person moved something. */
function orderOf(there: readonly string[], was: readonly string[], is: readonly string[]): readonly string[] {
  const both = (list: readonly string[], other: readonly string[]) => {
    const names = new Set(other);
    return list.filter((key) => names.has(key));
  };
  const isMoved = both(was, is).join('\n') !== both(is, was).join('\n');
  const [order, more] = isMoved ? [[...is], there] : [[...there], is];
  more.forEach((key, i) => {
    if (order.includes(key)) return;
    const before = more.slice(0, i).findLast((one) => order.includes(one));
    order.splice(before === undefined ? 0 : order.indexOf(before) + 1, 0, key);
  });
  return order;
}

/** By what names the items of a list; null where nothing does, or two have one name. */
function byKey(list: readonly unknown[]): ReadonlyMap<string, unknown> | null {
  const items = new Map<string, unknown>();
  for (const item of list) {
    const key = keyOf(item);
    if (key === null || items.has(key)) return null;
    items.set(key, item);
  }
  return items;
}

/** What names an item: its id; else the ids of what it is a word on. */
function keyOf(item: unknown): string | null {
  if (!isFields(item)) return null;
  if (typeof item.id === 'string') return item.id;
  const names = ['proposalId', 'passId', 'voiceId', 'noteId', 'stanza', 'playerId'];
  // Who sings from a note on is what is said there, and no part of where.
  const own = names.filter((name) => name in item && !(name === 'playerId' && 'passId' in item));
  return own.length === 0 ? null : own.map((name) => `${name} ${String(item[name])}`).join(', ');
}
