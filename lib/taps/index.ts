/**
 * Sung time laid on beats: a singer's taps snapped to grid places by a stated model, a tempo from taps, the words of a
 * line spread along its beats, and the notes of a song as a tapped pass has them. All of it is a guess with its costs, for
 * people to take or mend. It reads no clock and no keys (times come in as numbers) and writes into no document.
 */
export { SPREAD_COSTS, type SpreadInput, type Stressed, spreadEvenly, spreadLine } from './spread';
