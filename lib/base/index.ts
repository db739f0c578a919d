/**
 * Small things that every room needs: a failure as a value, access that fails loudly,
 * seeded randomness, ids. It is not a place for anything that knows about music or time.
 */
export { deepFreeze } from './freeze';
export { type MakeId, makeIds } from './ids';
export { itemAt, lastOf, must } from './must';
export { type Random, randomFrom } from './random';
export type { Reason } from './reason';
export { fail, ok, type Problem, type Result } from './result';
export { asBefore, sameValue } from './same-value';
