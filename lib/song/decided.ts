/** A person's word on where a phrase ends: it wins over what the model finds, and the model works round it. */
export interface PhraseEnd {
  /** The sung note after which the phrase ends, or goes on. */
  readonly noteId: string;
  /** Null: in every stanza that has no word of its own. */
  readonly stanza: number | null;
  /** False: the phrase goes on here. */
  readonly ends: boolean;
}

/** Lowest and highest, both inside. MIDI note numbers as sounded. */
export interface PitchRange {
  readonly low: number;
  readonly high: number;
}

/** A tempo that was tapped: how far the taps went either way, in quarter notes a minute, and when. */
export interface TempoRange {
  readonly low: number;
  readonly high: number;
  /** Milliseconds since 1970. */
  readonly at: number;
}

/** How a song starts. What nobody has said is null or empty. */
export interface SongStart {
  readonly playerId: string | null;
  /** With what, in the band's words: `kick-off`, `the last line`. */
  readonly with: string;
  /** Who counts. */
  readonly counts: string | null;
  /** Quarter notes a minute of the count-in; null: as the song. */
  readonly tempo: number | null;
}

export const ENDING_KINDS = ['lick', 'tag line', 'hold', 'dead stop'] as const;
export type EndingKind = (typeof ENDING_KINDS)[number];

/** How a song ends. What nobody has said is null or empty. */
export interface SongEnding {
  readonly kind: EndingKind | null;
  /** On whose signal. */
  readonly signalBy: string | null;
  readonly note: string;
}

/** Who sings a voice in a pass, from a note on until the voice's next such word in that pass. */
export interface Singing {
  readonly passId: string;
  readonly voiceId: string;
  /** A note of that voice; null: the pass's start. */
  readonly noteId: string | null;
  /** Null: nobody, and the voice is silent. */
  readonly playerId: string | null;
}

export interface Decided {
  /** In the order of the notes; of one note, the word for every stanza first. */
  readonly phraseEnds: readonly PhraseEnd[];
  /** Null: the tempo was not tapped. */
  readonly tempoRange: TempoRange | null;
  readonly start: SongStart;
  readonly ending: SongEnding;
  /** In the order of the passes, voices and notes. */
  readonly singing: readonly Singing[];
}

/** A song of which nobody has said any of it. */
export const UNDECIDED: Decided = {
  phraseEnds: [],
  tempoRange: null,
  start: { playerId: null, with: '', counts: null, tempo: null },
  ending: { kind: null, signalBy: null, note: '' },
  singing: [],
};
