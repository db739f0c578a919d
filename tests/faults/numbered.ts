import { type Random, randomFrom } from '../../lib/base';

/**
 * Updates that say which they are: four bytes of number, four of length, and a filling that follows from the number.
 * Merged they stand one after another.
 */
export function numbered(number: number, filling: number): Uint8Array {
  const update = new Uint8Array(8 + filling).fill(number % 251);
  const view = new DataView(update.buffer);
  view.setUint32(0, number);
  view.setUint32(4, filling);
  return update;
}

export function mergeNumbered(updates: readonly Uint8Array[]): Uint8Array {
  return new Uint8Array(Buffer.concat(updates));
}

/** The numbers in merged updates, in order; throws where one is not as it was made. */
export function numbersIn(updates: readonly Uint8Array[]): number[] {
  const all = mergeNumbered(updates);
  const view = new DataView(all.buffer, all.byteOffset, all.length);
  const numbers: number[] = [];
  for (let at = 0; at < all.length; ) {
    const number = view.getUint32(at);
    const filling = view.getUint32(at + 4);
    const filled = all.subarray(at + 8, at + 8 + filling);
    if (filled.length !== filling || filled.some((byte) => byte !== number % 251))
      throw new Error(`update ${number} is not as it was made`);
    numbers.push(number);
    at += 8 + filling;
  }
  return numbers;
}

/** Mostly small, as edits are; sometimes large. */
export function someFilling(random: Random): number {
  const of = random();
  if (of < 0.8) return Math.floor(random() * 100);
  return Math.floor(random() * (of < 0.97 ? 3000 : 40_000));
}

/** A source of its own for each of the things that one seed decides. */
export const sourceFor = (seed: number, what: number): Random => randomFrom(seed * 7919 + what * 104_729);
