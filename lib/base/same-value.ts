/** Whether two plain values say the same; what is the very same object is not looked into. */
export function sameValue(one: unknown, other: unknown): boolean {
  if (Object.is(one, other)) return true;
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null) return false;
  if (Array.isArray(one) !== Array.isArray(other)) return false;
  if (Array.isArray(one) && Array.isArray(other))
    return one.length === other.length && one.every((each, i) => sameValue(each, other[i]));
  const names = Object.keys(one);
  if (names.length !== Object.keys(other).length) return false;
  return names.every(
    (name) => Object.hasOwn(other, name) && sameValue(Reflect.get(one, name), Reflect.get(other, name)),
  );
}

/** The value from before where both say the same, so that who holds it need not look again; else the new one. */
export const asBefore = <T>(before: T | undefined, now: T): T =>
  before !== undefined && sameValue(before, now) ? before : now;
