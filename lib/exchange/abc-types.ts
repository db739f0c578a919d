import type { Syllable } from '../song';
import type { Key } from '../theory';
import type { Meter, Ticks } from '../time';
import type { KeyField } from './abc-fields';

/** Something that holds from a place in a voice's music on, or belongs to the next note or barline. */
export type Mark =
  | { readonly kind: 'key'; readonly at: number; readonly key: KeyField }
  | { readonly kind: 'meter'; readonly at: number; readonly meter: Meter | 'free' }
  | { readonly kind: 'tempo'; readonly at: number; readonly quartersPerMinute: number }
  | { readonly kind: 'part'; readonly at: number; readonly label: string }
  | { readonly kind: 'chord'; readonly at: number; readonly symbol: string }
  | { readonly kind: 'times'; readonly at: number; readonly times: number }
  | { readonly kind: 'fermata'; readonly at: number }
  | { readonly kind: 'breath'; readonly at: number };

/** A stretch of a voice's music code, all else blanked, so that columns stay; `at` is null for a line of our own. */
export interface Piece {
  readonly at: number | null;
  readonly text: string;
}

/** A `w:` field with its continuations. */
export interface WordsField {
  readonly at: number;
  readonly parts: readonly { readonly at: number; readonly text: string }[];
}

/** All that the file says of one voice, in its order. */
export interface VoiceText {
  readonly id: string;
  name: string | null;
  shift: number | null;
  readonly pieces: Piece[];
  readonly marks: Mark[];
  readonly words: WordsField[];
  /** Where each line of music starts; a continued line counts as one. */
  readonly lineStarts: number[];
}

/** A tune, sorted out: fields read, music and words by voice. */
export interface ScannedTune {
  readonly at: number;
  readonly title: string | null;
  readonly key: KeyField;
  readonly meter: Meter | 'free' | null;
  readonly tempo: number | null;
  /** The order of parts that the header gives. */
  readonly order: { readonly text: string; readonly at: number } | null;
  /** Of the directive `%%breathmark-swing`; 1 is straight. */
  readonly swing: number;
  readonly propagate: 'pitch' | 'octave' | 'not';
  /** The top voice first. */
  readonly voices: readonly VoiceText[];
  readonly unit: number;
  /** Where the file says that it keeps to version 2.1, its rule for the words is followed to the letter. */
  readonly strictWords: boolean;
}

/** Slurs that begin and end with a note, by the label that both their ends have. */
export interface Slurs {
  readonly starts: readonly string[];
  readonly ends: readonly string[];
}

/** A note as one sign of the file; ties still join two of them. */
export interface RawNote {
  readonly at: number;
  readonly bar: number;
  readonly offset: Ticks;
  ticks: Ticks;
  /** As sounded; null where the file gives a note without pitch. */
  readonly midi: number | null;
  /** A tie is written after it. */
  tied: boolean;
  fermata: boolean;
  breath: boolean;
  readonly slurs?: Slurs;
  readonly syllables: (Syllable | null)[];
}

/** A bar of one voice, with what its barlines say. */
export interface VoiceBar {
  readonly at: number;
  ticks: Ticks;
  meter: Meter | 'free';
  key: Key | null;
  tempo: number | null;
  part: string | null;
  startRepeat: boolean;
  /** How often in all the stretch up to its end is played; 1: no repeat sign stands there. */
  endRepeat: number;
  /** A double or final barline closes it. */
  doubled: boolean;
  ending: readonly number[] | null;
  readonly chords: { readonly at: number; readonly offset: Ticks; readonly symbol: string }[];
  readonly notes: RawNote[];
}
