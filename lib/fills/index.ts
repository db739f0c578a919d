/**
 * Offers: what a player could play where the singer rests. Families of fills, written from the space's grid, chords and
 * neighbours, planned for both hands and ranked by a named table whose terms are the reasons. It decides nothing: it
 * does not know who is free, what is settled, or how a fill is drawn.
 */
export { planBackup } from './backup';
export { walkInto } from './backup-bass';
export { chopThrough, keepsTheChop } from './backup-chop';
export { type BackupWay, WAY_OF } from './backup-patterns';
export type { Away, Backup, BackupRequest, Dynamic, DynamicMark, Stretch } from './backup-types';
export {
  BREAK_COSTS,
  type Break,
  type BreakRequest,
  breakFor,
  breakInWords,
  type Difficulty,
  type Licence,
  type Pickup,
  type TuneNote,
  type UnusualMoves,
} from './break';
export { asksForCare } from './care';
export { FILL_COSTS, LINE_COSTS, MIN_DISTANCE } from './costs';
export { distanceOf } from './distance';
export { type Edited, editFill, type FillEdit, judgeFill } from './edit';
export { figureOf, OWN_FIGURE } from './figure';
export { handKeepsUp } from './hand-limits';
export { earliestOf, fillNotesAt, fillOf, originOf } from './hang';
export { hearsSame } from './hears-same';
export { goesThroughGuard } from './kept';
export type { Mark } from './marks';
export { offerFills } from './offer';
export type { Offer, OfferRequest } from './types';
export { type Idea, varyFill } from './vary';
export { WAYS, type Way } from './ways';
