import type { InstrumentName } from '../../instruments';

/**
 * What makes one way to play a tune worse than another, in points: one point is about what one more stopped string in a
 * roll costs. Only proportions matter. Common practice, no source, for every row: the order of size is the
 * trade's (the tune on its beat before all, then the roll kept, then the hand at rest), the sizes are ours.
 */
export const BREAK_COSTS = {
  /** A note of the tune an eighth before its beat; more where it belongs to a strong beat. */
  early: 3,
  /** A note of the tune an eighth after its beat; more where it belongs to a strong beat. */
  late: 4.5,
  /** More for each step of strength of the beat that it leaves. */
  offItsBeat: 2,
  /** A roll begins on a strong beat, on another beat, off the beat. */
  rollBeginsStrong: 0.8,
  rollBeginsOnBeat: 2,
  rollBeginsOff: 3.5,
  /** … and not at its first place. */
  rollBeginsInside: 1,
  /** The roll rests at a place of the grid, inside a phrase. */
  rollRests: 4,
  /** The same string is struck twice within an eighth. */
  sameStringAgain: 4,
  /** Two of the thumb's strings within an eighth, outside the order of a banjo's roll. */
  thumbAgain: 7,
  /** A strike that leaves out a string, for each one, within an eighth. */
  stringLeft: 0.6,
  /** A note of the tune outside a roll, where there is time for one. */
  outsideRoll: 2.5,
  /** A note of a roll is stopped, not open. */
  pressed: 0.7,
  /** For each fret up the neck, for a note of the tune and of the roll. */
  fret: 0.3,
  /** A note of the roll above the tune's, which the ear follows: with fingers, with a pick that rolls up from the tune. */
  aboveTune: 1.2,
  aboveTunePicked: 0.5,
  /** A pick that goes toward the next string comes up on a beat. */
  upOnBeat: 2.4,
  /** A note of the roll within two semitones of the tune's, but not the same. */
  besideTune: 2.5,
  /** The tune's own note struck again while it is held: keeps it singing. */
  tuneAgain: 0.2,
  /** … where it is no tone of the chord that has come. */
  tuneAgainOutside: 1.5,
  /** The short string's drone where it is no chord tone: off the beat, on it. */
  droneOutside: 2,
  droneOutsideOnBeat: 6,
  /** Something other than the drone on the short string. */
  shortStringStopped: 12,
  /** For each strike, for each fret that the hand lies above its first position. */
  upTheNeck: 0.3,
  /** The hand moves: once, and for each fret. */
  shift: 2.5,
  shiftFret: 0.5,
  /** … times this for a bar, which glides. */
  shiftOfBar: 0.7,
  /** … times this where there is less than a beat's time and no open string. */
  shiftInHaste: 2,
  /** Tune on the outer strings of a cross-picking set sings best on the lowest of the three; on the middle or top of it. */
  tuneInside: 0.3,
  /** A run's note on another string than the one before, for each string. */
  runAcross: 0.25,
} as const;

/**
 * The chord under a break's last note, in points. Common practice, no source: a close has its root, below or on top, and a third; sizes are
 * ours.
 */
export const CLOSE_COSTS = {
  /** The root does not sound. */
  noRoot: 20,
  /** The root is the tune's note on top, and another tone the lowest; it is neither. */
  rootOnTop: 1.5,
  rootInside: 8,
  /** A chord that has a third sounds without it. */
  noThird: 2.5,
  /** Two strings sound one pitch. */
  unison: 2,
  /** For each string fewer than could be had. */
  stringFewer: 3,
  /** For each fret of each string added. */
  fret: 0.3,
} as const;

/** Octaves for each phrase, in points for each note of the tune. Common practice, no source. */
export const OCTAVE_COSTS = {
  /** For each semitone beyond where the tune sings on the instrument. */
  beyond: 1,
  /** For each octave away from where it is sung. */
  moved: 0.6,
  /** Not on the instrument at all, in reach of a break. */
  outOfReach: 1000,
  /** Two phrases that follow each other lie in other octaves: in points, once. */
  changes: 40,
} as const;

/**
 * Where a tune sings on an instrument, as sounded in standard tuning, and the highest fret a break goes to. `hand`: frets that lie under the
 * hand above its index finger. Common practice, no source.
 */
export const TUNE_REACH: Readonly<
  Record<
    InstrumentName,
    {
      readonly lowest: number;
      readonly highest: number;
      readonly highestFret: number;
      readonly hand: number;
    }
  >
> = {
  voice: { lowest: 0, highest: 127, highestFret: 0, hand: 0 },
  guitar: { lowest: 48, highest: 67, highestFret: 15, hand: 3 },
  banjo: { lowest: 50, highest: 66, highestFret: 17, hand: 3 },
  mandolin: { lowest: 59, highest: 79, highestFret: 15, hand: 5 },
  fiddle: { lowest: 60, highest: 83, highestFret: 9, hand: 6 },
  'resonator guitar': { lowest: 50, highest: 69, highestFret: 14, hand: 0 },
  bass: { lowest: 31, highest: 50, highestFret: 12, hand: 2 },
};

/**
 * What makes a break hard, in steps of the number from 1 to 10. Common practice, no source: sizes are ours, tried on the demo's
 * songs.
 */
export const DIFFICULTY = {
  /** For each tenth by which its eighths come faster than half of the player's ease. */
  speedTenth: 0.5,
  /** For each move of the hand in four bars. */
  shiftsInFourBars: 0.5,
  /** For each stretch in four bars. */
  stretchesInFourBars: 0.7,
  /** For each string leap in four bars. */
  leapsInFourBars: 0.3,
  /** For each stroke against the player's way in four bars. */
  strokesInFourBars: 0.4,
  /** The tune inside a roll at all. */
  inRoll: 1.5,
  /** For each tenth of its struck notes that are stopped, not open, beyond six in ten: on instruments where open strings carry a roll. */
  stoppedTenth: 0.6,
  /** For every three frets above the fourth of its highest note. */
  threeFretsUp: 0.5,
} as const;

/** Words for the number, up to and with it. */
export const DIFFICULTY_WORDS = [
  [3, 'easy'],
  [5, 'moderate'],
  [7, 'hard'],
  [10, 'very hard'],
] as const;
