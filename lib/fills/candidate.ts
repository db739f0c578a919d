import type { Articulation } from '../instruments';
import type { Ticks } from '../time';
import type { Title } from './titles';

/** A note of a fill before the hands have been planned. */
export interface DraftNote {
  readonly tick: Ticks;
  readonly ticks: Ticks;
  readonly midi: number;
  readonly articulation: Articulation;
  /** Where the figure asks for a string; null: any. */
  readonly string: number | null;
  /** A note of a run: struck in alternation. */
  readonly run: boolean;
  /** What a voice sings on it. */
  readonly word?: string;
}

/** An idea for a fill, as a family wrote it. */
export interface Draft {
  readonly family: string;
  readonly title: Title;
  /** In time order, low strings first where several begin at once. */
  readonly notes: readonly DraftNote[];
  /** The same without its graces, for a hand that cannot put them in; left out: there are none. */
  readonly plainly?: readonly DraftNote[];
  /** Three neighbouring strings that it stays on, lowest first; empty: free. */
  readonly strings: readonly number[];
  /** True for a low run or a walk, which may go through the guard. */
  readonly throughGuard: boolean;
  /** True where the last note is meant to lead into the next chord, not to rest. */
  readonly leads: boolean;
  /** Slurs may be put in between its notes where the hand allows. */
  readonly slurs: 'left hand' | 'bow' | 'none';
}

/** A draft whose notes have their places already, that rests within the guard and is not slurred any more. */
export const plainDraft = (family: string, title: Title, notes: readonly DraftNote[]): Draft => ({
  family,
  title,
  notes,
  strings: [],
  throughGuard: false,
  leads: false,
  slurs: 'none',
});
