/**
 * The break: a tune as one player plays it alone, inside a roll, cross-picked, ornamented or plain. It is not a place for
 * fills between sung phrases, nor for deciding who takes a break.
 */
export { breakFor } from './break';
export { BREAK_COSTS, DIFFICULTY } from './costs';
export { breakInWords } from './report';
export type { Break, BreakRequest, Difficulty, Licence, Pickup, TuneNote, UnusualMoves } from './types';
