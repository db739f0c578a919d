/**
 * An evening of songs: what lies between two songs for each player and for the crowd, how long it all takes, in
 * which order it costs least, and what to cut when it is too long. It knows nothing of documents, pages or paper, and does not
 * change how a song is played.
 */
export { changeOf } from './change';
export { MOST_SONGS } from './check';
export {
  type ClockEntry,
  clockInFigures,
  type RunningClock,
  runningClock,
  setInWords,
  setSongOf,
  songSeconds,
} from './clock';
export { type Comparison, compareOrders, holdAt } from './compare';
export { CHANGE_SECONDS, CUT_WORTH, LEAST_PAUSE_SECONDS, ORDER_WEIGHTS } from './costs';
export { type Cut, cutSeconds } from './cut';
export { EXACT_UP_TO } from './exact';
export { eveningOfSet, holdAtPlace, placeOfHold } from './from-band';
export { eveningOf } from './from-file';
export { type Instead, nextBest } from './instead';
export { EveningModel } from './model';
export { type OrderOptions, type OrderProgress, orderInTurns, orderSet } from './order';
export { betweenSongs, type NameOf } from './transition';
export type {
  Between,
  Evening,
  Need,
  OrderAnswer,
  OrderCosts,
  OrderWeights,
  Placed,
  PlayerChange,
  SetSong,
  Transition,
} from './types';
