import type { PlacedNote, Timeline } from '../../song';

/** One syllable under a note. */
export interface UnderNote {
  /** From 1. */
  readonly stanza: number;
  readonly text: string;
  /** Its word goes on with the next syllable, and with the one before. */
  readonly joins: boolean;
  readonly goesOn: boolean;
  readonly endsLine: boolean;
}

/** What stands under each note: all stanzas of a song as written, the one that is sung where its roadmap is played out. */
export class WordsUnder {
  readonly #under = new Map<PlacedNote, readonly UnderNote[]>();
  readonly #timeline: Timeline;
  /** By pass: stanzas that any of its notes has words of. */
  readonly #stanzas: readonly number[];
  /** Stanzas that any note has words of. */
  readonly stanzas: number;

  constructor(timeline: Timeline) {
    this.#timeline = timeline;
    const stanzas = timeline.passes.map(() => 0);
    for (const notes of timeline.notes.values()) {
      const joining: boolean[] = [];
      for (const placed of notes) {
        const syllables = placed.passId === null ? placed.note.syllables : [placed.syllable];
        const under = syllables.flatMap((syllable, i): UnderNote[] => {
          if (syllable === null) return [];
          const goesOn = joining[i] ?? false;
          joining[i] = syllable.joins;
          const pass = this.#passOf(placed);
          stanzas[pass] = Math.max(stanzas[pass] ?? 0, i + 1);
          return [{ stanza: i + 1, ...syllable, goesOn }];
        });
        this.#under.set(placed, under);
      }
    }
    this.#stanzas = stanzas;
    this.stanzas = Math.max(0, ...stanzas);
  }

  #passOf({ startTick }: PlacedNote): number {
    return this.#timeline.passes.findLastIndex((pass) => pass.startTick <= startTick);
  }

  /** Stanzas of the part that the note stands in which have no syllable of their own under it, though others have one. */
  without(note: PlacedNote): readonly number[] {
    const under = this.under(note);
    if (under.length === 0) return [];
    const all = Array.from({ length: this.#stanzas[this.#passOf(note)] ?? 0 }, (_, i) => i + 1);
    return all.filter((stanza) => !under.some((each) => each.stanza === stanza));
  }

  under(note: PlacedNote): readonly UnderNote[] {
    return this.#under.get(note) ?? [];
  }
}
