/**
 * Sung notes to phrases, phrases to spaces: where the singer breathes, how long, and what is held over it.
 * It does not know who could play there.
 */
export { type Phrase, SPACE_KINDS, type Space, type SpaceKind, type SpaceOptions } from './types';
