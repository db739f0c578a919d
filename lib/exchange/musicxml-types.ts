import type { Key } from '../theory';
import type { Meter, Ticks } from '../time';
import type { RawNote } from './abc-types';
import type { ScorePart } from './musicxml-score';

/** What stands in one measure of one part. */
export interface PartMeasure {
  readonly at: number;
  readonly implicit: boolean;
  /** How far its content reaches; 0 where it has none. */
  content: Ticks;
  meter: Meter | 'free';
  key: Key | null;
  tempo: number | null;
  swing: number | null;
  label: string | null;
  startRepeat: boolean;
  endRepeat: number;
  doubled: boolean;
  ending: readonly number[] | null;
  readonly chords: { readonly at: number; readonly offset: Ticks; readonly symbol: string }[];
  /** By voice of the part. */
  readonly notes: Map<string, RawNote[]>;
}

export interface PartVoice {
  readonly voice: string;
  readonly staff: number;
  words: boolean;
}

export interface PartRead {
  readonly part: ScorePart;
  readonly measures: readonly PartMeasure[];
  readonly voices: readonly PartVoice[];
}

/** What holds from one measure to the next. */
export interface PartState {
  divisions: number;
  meter: Meter | 'free';
  /** Semitones from written to sounded. */
  shift: number;
  key: Key | null;
  readonly voices: Map<string, PartVoice>;
  /** By the number or name of a lyric, its stanza from 0. */
  readonly stanzas: Map<string, number>;
  /** Set in the middle of a measure, for the one after it. */
  next: Partial<Pick<PartMeasure, 'key' | 'tempo' | 'label'>>;
}
