/**
 * Sung time laid on beats: a singer's taps snapped to grid places by a stated model, a tempo from taps, the words of a
 * line spread along its beats, and the notes of a song as a tapped pass has them. All of it is a guess with its costs, for
 * people to take or mend. It reads no clock and no keys (times come in as numbers) and writes into no document.
 */
export { type Anchor, type ChordAt, chordsAlong, chordsWith } from './chords';
export { CHORD_COSTS, FREE_MODEL, TAP_COSTS, TAP_MODEL, type TapModel } from './costs';
export { follow } from './follow';
export { beatAt, secondsAt } from './grid';
export { type LaidLine, laidAsWritten, layTapped } from './lay';
export { holdSyllable, moveSyllable, paced } from './mend';
export {
  type ChordMove,
  type LaidStanza,
  outsideOf,
  planSung,
  type SungChange,
  takenLines,
  withSung,
} from './plan';
export { eventsOf, type SheetLine, type SheetSyllable, type StressOf, sheetOf, type TapSheet } from './sheet';
export { snapTaps } from './snap';
export { SPREAD_COSTS, type SpreadInput, type Stressed, spreadEvenly, spreadLine } from './spread';
export { snapWithoutTempo, type TappedTempo, tempoOfTaps } from './tempo';
export type { Clock, SnapInput, SnappedTap, Tap, TapBar, TapEvent, TapReading } from './types';
