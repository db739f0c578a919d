import type { InstrumentName } from './names';

/** A way of tuning an instrument's strings. */
export interface Tuning {
  readonly name: string;
  /** MIDI note numbers as sounded without a capo: the first string first. */
  readonly midi: readonly number[];
  readonly source: string;
}

/** What is known of an instrument's build, and of the hand that plays it. */
export interface InstrumentFacts {
  /** `standard` is the first; none for a voice. */
  readonly tunings: readonly Tuning[];
  /** Usual length of the sounding string, nut to bridge; 0 for a voice. */
  readonly scaleMillimetres: number;
  /** The highest fret that a hand reaches with ease, from the nut; semitones where there are no frets. */
  readonly frets: number;
  /** The highest place for a capo; 0: none is used. */
  readonly highestCapo: number;
  /** Strings that begin further up the neck: the fret at which they do. */
  readonly startsAtFret: Readonly<Record<number, number>>;
  /** Semitones by which it is written above its sound. */
  readonly writtenAbove: 0 | 12;
  /** Strings struck as one. */
  readonly course: 1 | 2;
  /** How the left hand stops the strings: fingers behind frets, fingers on a bare board, one straight bar. */
  readonly hand: 'frets' | 'board' | 'bar' | 'none';
  readonly source: string;
}

const MEMORY = 'Source, from memory: usual tunings and measures of the instruments, MIDI note numbers';
const PRACTICE = 'Common practice, no source';

/** The seven instruments. Frets and capos: what is usual, not what can be built. */
export const INSTRUMENT_FACTS: Readonly<Record<InstrumentName, InstrumentFacts>> = {
  voice: {
    tunings: [],
    scaleMillimetres: 0,
    frets: 0,
    highestCapo: 0,
    startsAtFret: {},
    writtenAbove: 0,
    course: 1,
    hand: 'none',
    source: PRACTICE,
  },
  guitar: {
    tunings: [
      { name: 'standard', midi: [64, 59, 55, 50, 45, 40], source: MEMORY },
      { name: 'drop D', midi: [64, 59, 55, 50, 45, 38], source: MEMORY },
    ],
    scaleMillimetres: 645,
    frets: 20,
    highestCapo: 9,
    startsAtFret: {},
    writtenAbove: 12,
    course: 1,
    hand: 'frets',
    source: MEMORY,
  },
  banjo: {
    tunings: [
      { name: 'standard', midi: [62, 59, 55, 50, 67], source: `${MEMORY} (open G)` },
      { name: 'open G', midi: [62, 59, 55, 50, 67], source: MEMORY },
      { name: 'double C', midi: [62, 60, 55, 48, 67], source: MEMORY },
      { name: 'modal', midi: [62, 60, 55, 50, 67], source: MEMORY },
    ],
    scaleMillimetres: 667,
    frets: 22,
    highestCapo: 7,
    startsAtFret: { 5: 5 },
    writtenAbove: 12,
    course: 1,
    hand: 'frets',
    source: MEMORY,
  },
  mandolin: {
    tunings: [
      { name: 'standard', midi: [76, 69, 62, 55], source: MEMORY },
      { name: 'cross A', midi: [76, 69, 64, 57], source: MEMORY },
    ],
    scaleMillimetres: 352,
    frets: 20,
    highestCapo: 7,
    startsAtFret: {},
    writtenAbove: 0,
    course: 2,
    hand: 'frets',
    source: MEMORY,
  },
  fiddle: {
    tunings: [
      { name: 'standard', midi: [76, 69, 62, 55], source: MEMORY },
      { name: 'cross A', midi: [76, 69, 64, 57], source: `${MEMORY} (A E A E)` },
    ],
    scaleMillimetres: 328,
    frets: 14,
    highestCapo: 0,
    startsAtFret: {},
    writtenAbove: 0,
    course: 1,
    hand: 'board',
    source: MEMORY,
  },
  'resonator guitar': {
    tunings: [
      { name: 'standard', midi: [62, 59, 55, 50, 47, 43], source: `${MEMORY} (open G)` },
      { name: 'open G', midi: [62, 59, 55, 50, 47, 43], source: MEMORY },
    ],
    scaleMillimetres: 635,
    frets: 19,
    highestCapo: 7,
    startsAtFret: {},
    writtenAbove: 0,
    course: 1,
    hand: 'bar',
    source: MEMORY,
  },
  bass: {
    tunings: [{ name: 'standard', midi: [43, 38, 33, 28], source: MEMORY }],
    scaleMillimetres: 1060,
    frets: 12,
    highestCapo: 0,
    startsAtFret: {},
    writtenAbove: 12,
    course: 1,
    hand: 'board',
    source: MEMORY,
  },
};

/**
 * From index to little finger, stretched, of a usual hand on each instrument. The bass is wide because the hand
 * opens from the arm, the fiddle narrow because the hand comes round the neck. Common practice, no source.
 */
export const DEFAULT_SPAN_MILLIMETRES: Readonly<Record<InstrumentName, number>> = {
  voice: 0,
  guitar: 115,
  banjo: 115,
  mandolin: 110,
  fiddle: 105,
  'resonator guitar': 115,
  bass: 125,
};
