import type { Reason } from '../base';
import type { FillNote, Timeline } from '../song';
import { toneOf } from '../theory';
import { heldChords } from './backup-beats';
import { listed } from './words';

/** Semitones above the root. */
const SEVENTHS: ReadonlySet<number> = new Set([10, 11]);

/** The chords whose name promises a seventh that what is played on them never has; null: none. The bass has its own notes and is not asked. */
export function leftOutReason(timeline: Timeline, notes: readonly FillNote[]): Reason | null {
  const lacking = new Map<string, boolean>();
  for (const { symbol, chord, startTick, endTick } of heldChords(timeline)) {
    if (!chord.tones.some(({ above }) => SEVENTHS.has(above))) continue;
    const here = notes.filter(({ tick }) => tick >= startTick && tick < endTick);
    if (here.length === 0) continue;
    const has = here.some(({ midi }) => SEVENTHS.has(toneOf(chord, midi)?.above ?? -1));
    lacking.set(symbol, !has && lacking.get(symbol) !== false);
  }
  const symbols = [...lacking].flatMap(([symbol, isLacking]) => (isLacking ? [symbol] : []));
  if (symbols.length === 0) return null;
  const sevenths = symbols.length === 1 ? 'the seventh' : 'the sevenths';
  return { rule: 'left out', weight: 0, detail: `${sevenths} of ${listed(symbols)} left to others` };
}
