/**
 * What became of a song between two states of it, in sentences: what a bandmate needs to hear who was away. It compares and says; it
 * keeps nothing, and it does not know when either state was.
 */
export { changesBetween } from './changes';
export { withOwn } from './own';
export type { Change, ChangeRule } from './types';
