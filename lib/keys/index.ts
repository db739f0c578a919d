/**
 * Keys: which suit a singer's voice, how each player sets up for one (capo, the banjo's fifth string, tuning, shapes), and a whole
 * song to another key as one edit. It writes nothing and makes no fills: those that a capo does not carry along are only named.
 */
export { changeKey, type KeyChangeOptions, writesOf } from './change';
export { HIGHEST_FIFTH, HIGHEST_PROPOSED, KEY_COSTS, SHAPES, VOICE_COSTS } from './costs';
export { type Before, setupsForKey } from './setups';
export { keysForSinger, readExtent, tuneExtent } from './singer';
export type { Extent, FillInKey, KeyChange, KeyForSinger, PlayerInKey, SetupForKey } from './types';
