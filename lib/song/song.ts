import type { InstrumentName, StrokeRule } from '../instruments';
import type { Key } from '../theory';
import type { Feel, Meter, Ticks } from '../time';
import type { Decided, PitchRange } from './decided';
import type { Answer, Comment, Vote } from './fill';

/** Without a tempo mark, songs are read at this many quarter notes a minute, with a warning. */
export const DEFAULT_TEMPO = 100;

/** A bar as an ordered item of its section. It has its own meter and length, so crooked tunes are no exception. */
export interface Bar {
  readonly id: string;
  readonly meter: Meter;
  /** Real length: shorter than the meter's for a pickup, any for a crooked bar. */
  readonly ticks: Ticks;
  /** True for a bar that leads into the first full bar and is not counted. */
  readonly pickup: boolean;
  /** Times through the section in which this bar is played (first and second endings); empty: always. */
  readonly endings: readonly number[];
  /** The key from this bar on, where it changes. */
  readonly key: Key | null;
  /** Quarter notes a minute from this bar on, where it changes. */
  readonly tempo: number | null;
}

export interface Section {
  readonly id: string;
  /** `Verse`, `Chorus`, …, as the band calls it. */
  readonly name: string;
  readonly bars: readonly Bar[];
  /** True while its chords stand on guessed bars (words with chords above, without barlines) and nobody has put them on their beats. */
  readonly chordsGuessed?: true;
}

export const ROLES = ['lead', 'harmony', 'backup', 'break', 'lay out'] as const;
/** What a player does in a pass. */
export type Role = (typeof ROLES)[number];

/** One time through a section, as the roadmap runs it. Passes stand in the order in which they are played. */
export interface Pass {
  readonly id: string;
  readonly sectionId: string;
  /** Which stanza of the words is sung, from 1; null: nobody sings (a break, a kick-off). */
  readonly stanza: number | null;
  /** Which of the section's endings is played, from 1. */
  readonly ending: number;
  /** The band's own name for it; empty: made from the section's name and the count. */
  readonly name: string;
  /** By player id; a player without a role plays backup. */
  readonly roles: Readonly<Record<string, Role>>;
}

export const VOICE_PARTS = ['lead', 'tenor', 'baritone', 'other'] as const;
export type VoicePart = (typeof VOICE_PARTS)[number];

export interface Voice {
  readonly id: string;
  readonly name: string;
  readonly part: VoicePart;
  /** Who sings it; null: not said. */
  readonly playerId: string | null;
  /**
   * Lowest and highest note that is sung in this song, by the singer's own word, for songs whose tune is not written; as sounded, and moved
   * with the song. Null: not said.
   */
  readonly range: PitchRange | null;
}

export interface Syllable {
  readonly text: string;
  /** True where the word goes on with the next syllable (a hyphen is written). */
  readonly joins: boolean;
  /** True for the last syllable of a line of words as they were written. */
  readonly endsLine: boolean;
}

/** A sung note: it hangs on a bar, so that a bar put in elsewhere does not move it. Tied notes are one. */
export interface SungNote {
  readonly id: string;
  readonly voiceId: string;
  readonly barId: string;
  /** Ticks from its bar's start. */
  readonly offset: Ticks;
  /** Length as sung, over barlines too. */
  readonly ticks: Ticks;
  /** Pitch as sounded; null where the tune is not written (words with chords alone, a song that was tapped in). */
  readonly midi: number | null;
  /** By stanza, the first first; null where the syllable before is held, or there are no words. */
  readonly syllables: readonly (Syllable | null)[];
  /** The stanzas in which it is sung, rising; empty: in every one. A stanza with a rhythm of its own has notes of its own. */
  readonly stanzas: readonly number[];
  /** True where a breath or phrase end is written after it. */
  readonly breath: boolean;
  readonly fermata: boolean;
}

/** A chord symbol, kept as written even where nobody can read it; it holds until the next. */
export interface ChordMark {
  readonly id: string;
  readonly barId: string;
  readonly offset: Ticks;
  readonly symbol: string;
}

/** How a player plays this song. The capo belongs to the player in this song, not to the player. */
export interface PlayerSetting {
  readonly playerId: string;
  readonly instrument: InstrumentName;
  readonly tuning: string;
  readonly capo: number;
  /** A banjo's fifth string, raised by this many frets; null: by as many as the capo. */
  readonly fifthCapo: number | null;
  /** Null: as the player plays in general. */
  readonly rule: StrokeRule | null;
}

export interface Song extends Decided {
  readonly id: string;
  readonly title: string;
  readonly key: Key;
  /** Quarter notes a minute; null: not said, and taken as `DEFAULT_TEMPO`. */
  readonly tempo: number | null;
  readonly feel: Feel;
  readonly sections: readonly Section[];
  readonly passes: readonly Pass[];
  /** The top voice first. */
  readonly voices: readonly Voice[];
  readonly notes: readonly SungNote[];
  readonly chords: readonly ChordMark[];
  readonly settings: readonly PlayerSetting[];
  /** What the band has settled, in time order (then by id): one answer for a place, the one that stands. */
  readonly settled: readonly Answer[];
  /**
   * What was put forward, in time order (then by id). Where two people settled one place at once, the answer with the later
   * `at` stands (ties: the greater id) and the other one is here, so that nothing that was said is lost.
   */
  readonly proposals: readonly Answer[];
  readonly votes: readonly Vote[];
  readonly comments: readonly Comment[];
}
