/**
 * Who is free for a space, and why (not): what each player sings there, their break, their other fills, their
 * role, and around one microphone the way to it and from it. It does not know what could be played, nor who should take the space.
 */
export { freedomAt, whoIsFree } from './free';
export { changeSeconds } from './microphone';
export { type Met, type MicrophoneMove, metBy, microphoneMoves, type Side, sideOf } from './microphone-moves';
export { FREEDOM_RULES } from './rules';
export { passSaid } from './say';
export { type Singing, singingOf } from './singers';
export type { Freedom, FreedomContext } from './types';
