import type { PlacedNote, Timeline } from '../song';
import type { Ticks } from '../time';
import { countUpTo, type Stretch } from './stretches';

/** The notes of all voices on a timeline, asked for by time. Where several answer, the leading voice's comes first. */
export class SungNotes {
  readonly leadId: string | null;
  readonly byOnset: readonly PlacedNote[];
  readonly firstOnset: Ticks;
  readonly lastEnd: Ticks;
  readonly #byEnd: readonly PlacedNote[];
  readonly #leading: readonly PlacedNote[];

  constructor(timeline: Timeline, leadId: string | null) {
    this.leadId = leadId;
    const rank = new Map(timeline.song.voices.map((voice, i) => [voice.id, voice.id === leadId ? -1 : i]));
    const rankOf = (note: PlacedNote) => rank.get(note.voiceId) ?? 0;
    const all = [...timeline.notes.values()].flat();
    this.byOnset = [...all].sort((a, b) => a.startTick - b.startTick || rankOf(a) - rankOf(b));
    this.#byEnd = [...all].sort((a, b) => a.endTick - b.endTick || rankOf(b) - rankOf(a));
    this.#leading = (leadId === null ? undefined : timeline.notes.get(leadId)) ?? [];
    this.firstOnset = this.byOnset[0]?.startTick ?? Number.POSITIVE_INFINITY;
    this.lastEnd = this.#byEnd[this.#byEnd.length - 1]?.endTick ?? Number.NEGATIVE_INFINITY;
  }

  /** The note that ends last of all that end by a tick. */
  lastEndedBy(tick: Ticks): PlacedNote | null {
    return this.#byEnd[countUpTo(this.#byEnd, tick, (note) => note.endTick) - 1] ?? null;
  }

  /** The first note that begins at a tick or later. */
  firstFrom(tick: Ticks): PlacedNote | null {
    return this.byOnset[this.#begunBefore(tick)] ?? null;
  }

  /** The leading voice's note that sounds at a tick, or sounded last. */
  leadNoteAt(tick: Ticks): PlacedNote | null {
    return this.#leading[countUpTo(this.#leading, tick, (note) => note.startTick) - 1] ?? null;
  }

  /** Onsets of any voice after one tick and before another, in order. */
  onsetsBetween(from: Ticks, to: Ticks): Ticks[] {
    const onsets: Ticks[] = [];
    for (let i = countUpTo(this.byOnset, from, (note) => note.startTick); i < this.byOnset.length; i++) {
      const onset = this.byOnset[i]?.startTick ?? to;
      if (onset >= to) break;
      onsets.push(onset);
    }
    return onsets;
  }

  beginsIn({ startTick, endTick }: Stretch): boolean {
    const first = this.firstFrom(startTick);
    return first !== null && first.startTick < endTick;
  }

  #begunBefore(tick: Ticks): number {
    return countUpTo(this.byOnset, tick - 0.5, (note) => note.startTick);
  }
}
