import { itemAt } from '../base';
import type { PlacedBar, PlacedNote, Timeline } from '../song';
import { beatTicks, type Ticks } from '../time';
import { BarRuler } from './bar-ruler';
import { numberAt } from './column';

/** A voice's notes as columns, which the model reads over and over. */
export interface VoiceLine {
  readonly notes: readonly PlacedNote[];
  readonly count: number;
  /** Where each note begins; one more at the end: where the last one is over. */
  readonly onsets: Float64Array;
  /** From each note to the next, the rest between them too; of the last note its length. */
  readonly steps: Float64Array;
  /** Semitones from the note before; not a number for the first, and where a pitch is not known. */
  readonly intervals: Float64Array;
  /** Where each note begins, and where the last is over: the bar's number, the offset in it, and the bar's full length. */
  readonly barNumbers: Float64Array;
  readonly offsets: Float64Array;
  readonly barLengths: Float64Array;
  /** The bar that each note begins in. */
  readonly bars: readonly PlacedBar[];
  /** Whether bars are to be trusted; see `BarRuler`. */
  readonly isMetered: boolean;
}

/** O(notes + bars). */
export function readLine(timeline: Timeline, notes: readonly PlacedNote[]): VoiceLine {
  const count = notes.length;
  const column = () => new Float64Array(count + 1);
  const [onsets, barNumbers, offsets, barLengths] = [column(), column(), column(), column()];
  const [steps, intervals] = [new Float64Array(count), new Float64Array(count)];
  const ruler = new BarRuler(timeline.bars);
  const bars: PlacedBar[] = [];
  const put = (i: number, tick: Ticks) => {
    const { bar, number, offset, length } = ruler.at(tick);
    onsets[i] = tick;
    barNumbers[i] = number;
    offsets[i] = offset;
    barLengths[i] = length;
    return bar;
  };
  for (let i = 0; i < count; i++) {
    const note = itemAt(notes, i);
    bars.push(put(i, note.startTick));
    const before = notes[i - 1]?.note.midi ?? null;
    intervals[i] = before === null || note.note.midi === null ? Number.NaN : note.note.midi - before;
    steps[i] = (notes[i + 1]?.startTick ?? note.endTick) - note.startTick;
  }
  const last = notes[count - 1];
  if (last) {
    const length = numberAt(barLengths, count - 1);
    const offset = numberAt(offsets, count - 1) + last.endTick - last.startTick;
    onsets[count] = last.endTick;
    barNumbers[count] = numberAt(barNumbers, count - 1) + Math.floor(offset / length);
    offsets[count] = offset % length;
    barLengths[count] = length;
  }
  const { isMetered } = ruler;
  return { notes, count, onsets, steps, intervals, barNumbers, offsets, barLengths, bars, isMetered };
}

/** The rest after a note (0 for the last), in counted beats. */
export function restAfter(line: VoiceLine, i: number): number {
  const note = itemAt(line.notes, i);
  return (numberAt(line.onsets, i + 1) - note.endTick) / beatTicks(itemAt(line.bars, i).bar.meter);
}

/** The mean length of a note's neighbours: three before it and one after. */
export function usualTicks(notes: readonly PlacedNote[], i: number): Ticks {
  let sum = 0;
  let count = 0;
  for (const j of [i - 3, i - 2, i - 1, i + 1]) {
    const note = notes[j];
    if (!note) continue;
    sum += note.endTick - note.startTick;
    count += 1;
  }
  const own = itemAt(notes, i);
  return count === 0 ? own.endTick - own.startTick : sum / count;
}
