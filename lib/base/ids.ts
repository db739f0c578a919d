import { itemAt } from './must';
import type { Random } from './random';

/** Makes one new opaque id a call. */
export type MakeId = () => string;

const SIGNS = '0123456789ABCDEFGHJKMNPQRSTVWXYZabcdefghjkmnpqrstvwxyz';

/**
 * Ids of 14 signs out of 53 (80 bits): opaque, safe in addresses and as keys.
 * On a device the random source is the system's own; in tests and for the demo it is seeded.
 */
export function makeIds(random: Random): MakeId {
  return () => Array.from({ length: 14 }, () => itemAt(SIGNS, Math.floor(random() * SIGNS.length))).join('');
}
