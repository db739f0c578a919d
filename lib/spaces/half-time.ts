import { itemAt } from '../base';
import type { PlacedNote, PlacedPass, Timeline } from '../song';
import { beatTicks, type Ticks, ticksOf } from '../time';
import { countUpTo } from './stretches';

/**
 * When a stretch is felt in half time: its beats are counted faster than `beatsPerMinute`, and it is sung so slowly against them that the middle one of its notes by
 * length lasts `beats` of them or more. Common practice, no source: beyond some two hundred to the minute nobody taps every beat, but a fast tune with a note to
 * each of them is still counted so. Of fewer than `notes` notes it cannot be told.
 */
const HALF_TIME = { beatsPerMinute: 200, beats: 1.5, notes: 8 } as const;

/** How many counted beats make one that is felt: 2 in half time, else 1. Pass by pass (as written: section by section). */
export class FeltBeats {
  readonly #passes: readonly PlacedPass[];
  readonly #felt: readonly (1 | 2)[];

  /** @param leading the notes of the leading voice, in time order */
  constructor(timeline: Timeline, leading: readonly PlacedNote[]) {
    this.#passes = timeline.passes;
    this.#felt = timeline.passes.map((pass) => feltIn(timeline, pass, leading));
  }

  at(tick: Ticks): 1 | 2 {
    const begun = countUpTo(this.#passes, tick, (pass) => pass.startTick);
    return this.#felt[Math.max(0, begun - 1)] ?? 1;
  }
}

function feltIn(timeline: Timeline, pass: PlacedPass, leading: readonly PlacedNote[]): 1 | 2 {
  const first = countUpTo(leading, pass.startTick - 1, (note) => note.startTick);
  const next = countUpTo(leading, pass.endTick - 1, (note) => note.startTick);
  if (next - first < HALF_TIME.notes) return 1;
  const from = itemAt(leading, first).startTick;
  const beat = beatTicks(timeline.barAt(from).bar.meter);
  const beatsPerMinute = (timeline.tempo.tempoAt(from) * ticksOf(1, 4)) / beat;
  if (beatsPerMinute <= HALF_TIME.beatsPerMinute) return 1;
  const lengths = leading.slice(first, next).map(({ startTick, endTick }) => endTick - startTick);
  lengths.sort((a, b) => a - b);
  const middle = itemAt(lengths, (lengths.length - 1) >> 1);
  return middle >= HALF_TIME.beats * beat ? 2 : 1;
}
