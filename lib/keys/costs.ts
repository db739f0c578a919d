import type { InstrumentName } from '../instruments';
import type { PitchClass } from '../theory';

/** How well the open shapes of a key ring on an instrument in its standard tuning; more is worse. */
export interface ShapeFact {
  /** The key that the hand plays. */
  readonly tonic: PitchClass;
  readonly name: string;
  readonly major: number;
  readonly minor: number;
  readonly source: string;
}

const PRACTICE = 'Common practice, no source';
const shape = (tonic: PitchClass, name: string, major: number, minor: number): ShapeFact => ({
  tonic,
  name,
  major,
  minor,
  source: PRACTICE,
});

/**
 * In points. G, C, D, A and E shapes ring best on guitar; minor ones in A, E and D. The rest want a barre for every chord. On banjo in open
 * G, G shapes first, then C and D; minor in E, A and D. Resonator guitar in open G: G shapes, then D.
 */
export const SHAPES: Readonly<Partial<Record<InstrumentName, readonly ShapeFact[]>>> = {
  guitar: [
    shape(7, 'G', 0, 9),
    shape(0, 'C', 0.5, 9),
    shape(2, 'D', 1, 2),
    shape(9, 'A', 1.5, 0),
    shape(4, 'E', 1.5, 0.5),
  ],
  banjo: [
    shape(7, 'G', 0, 4),
    shape(0, 'C', 2, 6),
    shape(2, 'D', 2.5, 3),
    shape(9, 'A', 5, 2.5),
    shape(4, 'E', 6, 2),
  ],
  'resonator guitar': [
    shape(7, 'G', 0, 4),
    shape(2, 'D', 2, 5),
    shape(0, 'C', 3, 6),
    shape(9, 'A', 4, 4),
    shape(4, 'E', 4, 3),
  ],
};

/** The same in tunings where other shapes lie open, by the tuning's name. */
export const SHAPES_IN_TUNING: Readonly<Record<string, readonly ShapeFact[]>> = {
  'drop D': [
    shape(2, 'D', 0, 1),
    shape(7, 'G', 1.5, 9),
    shape(0, 'C', 1, 9),
    shape(9, 'A', 1.5, 0.5),
    shape(4, 'E', 3, 2),
  ],
  'double C': [shape(0, 'C', 0, 5), shape(5, 'F', 4, 8), shape(7, 'G', 4, 7)],
  modal: [shape(7, 'G', 0.5, 0), shape(2, 'D', 3, 3), shape(0, 'C', 3, 5)],
};

/** What a setup costs, in points: about what a wish for another shape would weigh. All: common practice, no source. */
export const KEY_COSTS = {
  /** A shape that is in no table: barres throughout. */
  otherShape: 8,
  /** A capo at all: it has to be put on and tuned. */
  capo: 0.5,
  /** Each fret of it takes something from the sound. */
  capoFret: 0.25,
  /** And from this fret on each one much more: the neck gets short. */
  highFrom: 4,
  highFret: 1.5,
  /** The banjo's fifth string is raised on its own hooks, not by as many frets as the capo. */
  fifthApart: 0.5,
  /** It sounds the fifth of the key, not the tonic: a drone as good, nearly. */
  fifthIsFifth: 0.25,
  /** It sounds another note of the key. */
  fifthInKey: 3,
  /** It sounds a note that is not in the key. */
  fifthOutside: 10,
  /** Another tuning than the one in which the player is. */
  retuned: 6,
  /** Without a capo (mandolin, fiddle, bass): each open string whose note is not in the key. */
  openOutside: 1.5,
  /** And each sharp or flat of the key beyond what lies well. */
  accidental: 0.4,
  /** The player's setup stays as it was in this song. */
  sameAsBefore: -0.25,
  /** Chord shapes stay as they were learned: the capo does the rest. */
  sameShapes: -0.5,
} as const;

/** Instruments that use a capo; the others play every key as it is. Common practice, no source. */
export const WITH_CAPO: readonly InstrumentName[] = ['guitar', 'banjo', 'resonator guitar'];

/** The highest capo that is proposed. Common practice, no source. */
export const HIGHEST_PROPOSED = 7;
/** The banjo's fifth string is raised by so much at most: beyond it breaks. Common practice, no source. */
export const HIGHEST_FIFTH = 5;

/** What a key costs a singer, in points. All: common practice, no source. */
export const VOICE_COSTS = {
  /** For each semitone by which the middle of the tune lies off the middle of the voice. */
  offMiddle: 0.5,
  /** For each semitone of comfort lacking at the top, where the last ones are hard to hold all evening. */
  nearTop: 1.5,
  nearBottom: 0.75,
  /** Semitones of the range, from each end, that are not comfortable. */
  edge: 2,
  /** For each semitone outside the range: such keys are given only where none fits. */
  outside: 20,
} as const;
