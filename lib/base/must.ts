/** The value, or an exception that only a mistake of ours can cause. */
export function must<T>(value: T | null | undefined, what: string): T {
  if (value === null || value === undefined) throw new Error(`missing: ${what}`);
  return value;
}

/** `items[index]`, where the caller knows that it exists; an exception where they were wrong. */
export function itemAt<T>(items: ArrayLike<T>, index: number): T {
  const item = items[index];
  if (item === undefined) throw new Error(`no item ${index} of ${items.length}`);
  return item;
}

/** The last item of a list that is known not to be empty. */
export function lastOf<T>(items: ArrayLike<T>): T {
  return itemAt(items, items.length - 1);
}
