/** Stands in for the real merge: a store does not look into what it keeps. A 255 cannot be merged. */
export function joined(updates: readonly Uint8Array[]): Uint8Array {
  const all = updates.flatMap((update) => [...update]);
  if (all.includes(255)) throw new Error('cannot be merged');
  return new Uint8Array(all);
}
