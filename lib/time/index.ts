/**
 * Musical time: ticks, meters and their beats, tempo and feel, ticks to seconds and back.
 * It knows nothing of pitches, songs or documents.
 */
export { beatsSaid } from './beat-said';
export { type Feel, STRAIGHT, swingTick } from './feel';
export {
  barTicks,
  beatOf,
  beatStrength,
  beatsPerBar,
  beatTicks,
  isCompound,
  type Meter,
  meterName,
  parseMeter,
} from './meter';
export { secondsOf, type TempoChange, TempoMap } from './tempo';
export { TICKS_PER_QUARTER, type Ticks, ticksOf } from './ticks';
