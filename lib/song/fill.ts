import type { Articulation, Stroke } from '../instruments';
import type { Ticks } from '../time';

/**
 * Where an answer hangs: on a pass and the sung note before the space, or on the pass's start. Words may change
 * and lines may move; what hangs there stays.
 */
export interface Place {
  readonly passId: string;
  /** The last sung note before the space; null: the pass's start. */
  readonly noteId: string | null;
  /** That note's voice; null at the pass's start, and for a comment on a whole line. */
  readonly voiceId: string | null;
}

export function samePlace(a: Place, b: Place): boolean {
  return a.passId === b.passId && a.noteId === b.noteId && a.voiceId === b.voiceId;
}

/** A stretch in ticks from the onset of its place's note (or the pass's start). */
export interface Extent {
  readonly from: Ticks;
  readonly to: Ticks;
}

export interface FillNote {
  /** From the onset of the place's note, as `Extent`. */
  readonly tick: Ticks;
  readonly ticks: Ticks;
  /** As sounded. */
  readonly midi: number;
  /** Place on the instrument, 1 nearest the floor as it is held; 0 for a voice, which has none. */
  readonly string: number;
  /** Counted from the capo (the fifth string of a banjo from its own); 0 is the open string. */
  readonly fret: number;
  /** 1 index … 4 little finger; 0 where the string is open. */
  readonly finger: number;
  readonly articulation: Articulation;
  readonly stroke: Stroke | null;
  /** The rule that gave the stroke, and whether the stroke goes against the player's way. */
  readonly strokeRule: string | null;
  readonly exception: boolean;
  /** What a voice sings on it: a syllable, or a vowel that is hummed. Left out where nothing is said. */
  readonly word?: string;
}

/** Notes for a space, with what they were made from. */
export interface Fill {
  readonly family: string;
  readonly notes: readonly FillNote[];
  /** The chords it was made over: ticks as in `Extent`. */
  readonly chords: readonly { readonly tick: Ticks; readonly symbol: string }[];
}

/** Who has a space, and with what. Silence is a choice. */
export type Holding =
  | { readonly kind: 'fill'; readonly playerId: string; readonly fill: Fill }
  | { readonly kind: 'ad lib'; readonly playerId: string }
  | { readonly kind: 'left open' };

/** What somebody settled or proposed for a place, with the extent it was made for. */
export interface Answer {
  readonly id: string;
  readonly place: Place;
  readonly extent: Extent;
  readonly holding: Holding;
  /** The player who said so; null: unknown (brought in from a file). */
  readonly by: string | null;
  /** Milliseconds since 1970 by that person's clock: for display and for the stated rule among equals. */
  readonly at: number;
}

export interface Vote {
  readonly proposalId: string;
  readonly playerId: string;
  readonly yes: boolean;
}

export interface Comment {
  readonly id: string;
  /**
   * Null: on the song as a whole. A pass's start: on the pass, and on the silence that it may begin with. A note without a voice: on the line in which
   * it is sung. A note with its voice: on the space after it.
   */
  readonly place: Place | null;
  readonly text: string;
  readonly by: string | null;
  readonly at: number;
}
