/**
 * Who is free for a space, and why (not): what each player sings there, their break, their other fills, their
 * role. It does not know what could be played, nor who should take the space.
 */
export { whoIsFree } from './free';
export { FREEDOM_RULES } from './rules';
export { passSaid } from './say';
export { type Singing, singingOf } from './singers';
export type { Freedom, FreedomContext } from './types';
