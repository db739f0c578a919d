import type { InstrumentName } from './names';

/**
 * What makes a left hand's plan hard. The unit is a third of the effort of stopping a note with the index finger in
 * first position; only proportions matter. Common practice, no source, for every row.
 */
export const HAND_COSTS = {
  /** The hand moves at all. */
  shift: 2,
  /** For each millimetre that the index finger's place moves along the neck … */
  shiftPerMillimetre: 0.08,
  /** … times 1 + this many seconds over the seconds since the hand last put a finger down. */
  hurrySeconds: 0.25,
  /** For each note that is not open. */
  press: 3,
  /** For each note, by the finger that stops it: open, index, middle, ring, little. */
  finger: [0, 0, 0, 1, 4],
  /** For each millimetre by which a finger lies further from the index than its own place in the hand. */
  stretchPerMillimetre: 0.3,
  /** For each millimetre by which it lies nearer. */
  crowdPerMillimetre: 0.08,
  /** For each note stopped, for each millimetre of the index finger's place away from home (`HOMES`). */
  upTheNeckPerMillimetre: 0.03,
  /** One finger stops a second string; and each string beyond: a barre that lies there takes them along. */
  barre: 6.5,
  barreFurther: 1,
  /** A finger leaves a note for the next one on another fret, with no time between. */
  hop: 8,
  /** A finger leaves a note for the next one on another string at the same fret, with no time between. */
  rollOver: 4,
  /** A note stopped on a short string (the banjo's fifth): the thumb or a long reach. */
  shortString: 15,
} as const;

/** The names under which a plan shows its costs. */
export const HAND_TERMS = [
  'shift',
  'press',
  'finger',
  'stretch',
  'crowd',
  'up the neck',
  'barre',
  'hop',
  'roll over',
  'short string',
] as const;
export type HandTerm = (typeof HAND_TERMS)[number];

/** Where a finger lies in a hand, in semitones above the index finger's place. */
export interface FingerPlace {
  readonly finger: 1 | 2 | 3 | 4;
  /** Its own place: no stretch from here … */
  readonly from: number;
  /** … to here. */
  readonly to: number;
  /** The lowest and highest it reaches at all; millimetres may say less. */
  readonly least: number;
  readonly most: number;
}

const ANY = 99;
const finger = (
  number: 1 | 2 | 3 | 4,
  from: number,
  to: number,
  least: number,
  most: number,
): FingerPlace => ({
  finger: number,
  from,
  to,
  least,
  most,
});

/** Frets that a bar slants at most, over two neighbouring strings; as far as that a stretch of it. Common practice, no source. */
export const SLANT_FRETS = 2;

/** A finger a fret, as on guitar and banjo. */
const FINGER_A_FRET = [
  finger(1, 0, 0, 0, 0),
  finger(2, 1, 1, 0, ANY),
  finger(3, 2, 2, 0, ANY),
  finger(4, 3, 3, 0, ANY),
];

/**
 * Fingers by instrument. Fiddle and mandolin: a finger a step of the scale (first position: index on 1 or 2
 * semitones, middle 3 or 4, ring 5 or 6, little 7; the hand lies at 2, from where the index goes back to 1). Bass: index, middle
 * and little, a semitone each. Resonator guitar: finger 1 is the bar, straight or slanted. Common practice, no source.
 */
export const FINGER_PLACES: Readonly<Record<InstrumentName, readonly FingerPlace[]>> = {
  voice: [],
  guitar: FINGER_A_FRET,
  banjo: FINGER_A_FRET,
  mandolin: [
    finger(1, -1, 0, -1, 0),
    finger(2, 1, 2, 0, ANY),
    finger(3, 3, 4, 0, ANY),
    finger(4, 5, 5, 0, ANY),
  ],
  fiddle: [finger(1, -1, 0, -1, 0), finger(2, 1, 2, 0, 3), finger(3, 3, 4, 2, 5), finger(4, 5, 5, 4, 6)],
  'resonator guitar': [finger(1, 0, 0, 0, SLANT_FRETS)],
  bass: [finger(1, 0, 0, 0, 0), finger(2, 1, 1, 1, 1), finger(4, 2, 2, 2, 2)],
};

/** Where a hand is at home. */
export interface Home {
  /** The index finger's fret, from the capo. */
  readonly position: number;
  /** What each note costs that is stopped elsewhere, beside the way there. */
  readonly away: number;
}

const FIRST_FRET: Home = { position: 1, away: 0 };

/**
 * Homes by instrument: first position, which on fiddle and mandolin is a whole tone from the nut; half position, a semitone from it, and what lies
 * above are the exception there, most of all on a neck without frets. Common practice, no source.
 */
export const HOMES: Readonly<Record<InstrumentName, Home>> = {
  voice: FIRST_FRET,
  guitar: FIRST_FRET,
  banjo: FIRST_FRET,
  mandolin: { position: 2, away: 0.5 },
  fiddle: { position: 2, away: 2 },
  'resonator guitar': FIRST_FRET,
  bass: FIRST_FRET,
};

/**
 * How far two fingers open, as a share of the whole span from index to little finger: `PAIR_SHARE[a][b]`.
 * Common practice, no source.
 */
export const PAIR_SHARE: readonly (readonly number[])[] = [
  [],
  [0, 0, 0.55, 0.8, 1],
  [0, 0.55, 0, 0.42, 0.7],
  [0, 0.8, 0.42, 0, 0.42],
  [0, 1, 0.7, 0.42, 0],
];
