/** A source of numbers in [0, 1). Comes in as an argument wherever lib needs chance. */
export type Random = () => number;

/**
 * A seeded source: same seed, same numbers, in Node, browser and worker.
 * Source, from memory: the 'mulberry32' generator, public domain, period 2^32.
 */
export function randomFrom(seed: number): Random {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}
