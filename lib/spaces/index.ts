/**
 * Sung notes to phrases, phrases to spaces: where the singer breathes, how long, and what is held over it.
 * `phrasesAndSpaces` gives both; `findPhrases` and `findSpaces` give one; `spaceAt` finds the space that an answer
 * belongs to. It does not know who could play there, or what.
 */
export { BeatClock } from './clock';
export { FeltBeats } from './half-time';
export { narrowSpace } from './narrow';
export { findPhrases, leadVoice, wordsOf } from './phrases';
export { notePlace, spaceAt, startPlace, tickOfPlace, WRITTEN } from './place';
export { DEFAULT_SPACE_OPTIONS, findSpaces, phrasesAndSpaces, spacesOfPhrases } from './spaces';
export { joinStretches, type Stretch, without } from './stretches';
export { type Phrase, SPACE_KINDS, type Space, type SpaceKind, type SpaceOptions } from './types';
