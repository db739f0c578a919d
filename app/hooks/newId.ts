import { makeIds } from '../../lib/base';

/** A number in [0, 1) from the device's own source of randomness. */
function systemRandom(): number {
  const numbers = new Uint32Array(1);
  crypto.getRandomValues(numbers);
  return (numbers[0] ?? 0) / 2 ** 32;
}

/** A new opaque id, made on this device. */
export const newId = makeIds(systemRandom);
