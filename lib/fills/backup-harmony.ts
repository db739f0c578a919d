import { keyAt, type PlacedChord, Timeline } from '../song';
import type { BackupRequest } from './backup-types';
import { harmoniesFrom } from './break/harmony';
import { heardIn } from './break/tune';

/**
 * A request with the chords that backup goes by: as written, or where none stands in the stretch what the voices sing there, as breaks take
 * it (`harmoniesFrom`). Nothing sung either: no chords.
 */
export function withChords(request: BackupRequest): {
  readonly request: BackupRequest;
  readonly chordsWorkedOut: boolean;
} {
  const { timeline, startTick, endTick } = request;
  const asWritten = { request, chordsWorkedOut: false };
  if (timeline.bars.length === 0 || timeline.chordsIn(startTick, endTick).length > 0) return asWritten;
  const heard = heardIn(request);
  if (heard.length === 0) return asWritten;
  const chords = harmoniesFrom(heard, timeline, keyAt(timeline, startTick), startTick, endTick).map(
    ({ chord, ...span }): PlacedChord => ({
      symbol: chord.symbol,
      startTick: span.startTick,
      endTick: span.endTick,
    }),
  );
  const worked = new Timeline(timeline.song, { ...timeline, chords });
  return { request: { ...request, timeline: worked }, chordsWorkedOut: true };
}
