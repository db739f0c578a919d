import type { InstrumentName } from '../../instruments';
import type { Standing } from '../../plan';
import type { Player } from '../../song';
import type { Key } from '../../theory';
import type { Ticks } from '../../time';
import type { ChordNaming } from '../chords';
import type { Instruction } from '../drawing';

/** Heights inside a row, in CSS pixels from its top. */
export interface RowGeometry {
  readonly chordBase: number;
  readonly chordSize: number;
  readonly wordBase: number;
  readonly wordSize: number;
  readonly tabTop: number;
  readonly tabBottom: number;
  readonly numberSize: number;
  readonly tickTop: number;
  readonly height: number;
}

/** For two metres on a stand: words of 14 pt, chords larger than words. With tablature, with words alone, with chords alone. */
export const NOTES_ROW: RowGeometry = {
  chordBase: 20,
  chordSize: 21,
  wordBase: 66,
  wordSize: 18.7,
  tabTop: 40,
  tabBottom: 91,
  numberSize: 13,
  tickTop: 98,
  height: 112,
};
export const WORDS_ROW: RowGeometry = {
  ...NOTES_ROW,
  wordBase: 43,
  tabTop: 26,
  tabBottom: 46,
  tickTop: 52,
  height: 67,
};
export const CHORDS_ROW: RowGeometry = {
  ...NOTES_ROW,
  wordBase: 27,
  tabTop: 13,
  tabBottom: 27,
  tickTop: 32,
  height: 50,
};

/** What a row shows, and for whom. */
export interface RowLook {
  /** Of rows with the player's own notes in them, and of those without. */
  readonly geometry: RowGeometry;
  readonly without: RowGeometry;
  readonly pixelsPerTick: number;
  readonly player: Player;
  readonly bySpace: ReadonlyMap<string, Standing>;
  readonly playerOf: (id: string) => Player | null;
  readonly instrument: InstrumentName;
  readonly key: Key;
  readonly chordName: ChordNaming;
  /** Where the player breathes and no sign of a space says so, by tick. */
  readonly breaths: ReadonlySet<Ticks>;
  /** Who has the break of a pass in which nobody sings; null: nobody is named. */
  readonly breaker: Player | null;
  /** What the player is told to do, and when. */
  readonly cues: readonly { readonly tick: Ticks; readonly text: string }[];
}

export const textAt = (
  x: number,
  y: number,
  text: string,
  size: number,
  more: Partial<Extract<Instruction, { kind: 'text' }>> = {},
): Instruction => ({
  kind: 'text',
  x,
  y,
  text,
  size,
  anchor: 'start',
  face: 'words',
  tone: 'ink',
  clear: 0,
  ...more,
});
