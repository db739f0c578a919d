import type { InstrumentName } from '../instruments';

/** What is touched: a bass note, or the chord, cut short. */
export type Sound = 'bass' | 'chord';

/** How a bar is counted: in pairs (4/4, 2/4; 2/2 in quarters; 12/8 in its beats), in threes (3/4, 9/8), in two beats of three (6/8). */
export type BarKind = 'pairs' | 'threes' | 'twos of three';

/** A group of counts that goes round and round in a bar; where each touch lies in it, in counts from its start. */
export interface BackupPattern {
  readonly counts: number;
  readonly touches: readonly { readonly at: number; readonly sound: Sound }[];
}

export const BACKUP_WAYS = ['boom-chuck', 'chop', 'vamp', 'root and fifth', 'long notes'] as const;
export type BackupWay = (typeof BACKUP_WAYS)[number];

const OFF_BEATS: Readonly<Record<BarKind, BackupPattern>> = {
  pairs: { counts: 2, touches: [{ at: 1, sound: 'chord' }] },
  threes: {
    counts: 3,
    touches: [
      { at: 1, sound: 'chord' },
      { at: 2, sound: 'chord' },
    ],
  },
  'twos of three': { counts: 2, touches: [{ at: 1, sound: 'chord' }] },
};

/**
 * The beats of backup. Common practice, no source: boom-chuck has its bass on 1 and 3 and strums on 2 and 4, in a waltz on 1, and 2 and 3; chop
 * and vamp have 2 and 4 (2 and 3); the bass 1 and 3 (1); in 6/8 the guitar plays bass on both beats and strums on the last eighth of each.
 * Long notes have no pattern: they go from chord to chord; their row is for when that player keeps the chop.
 */
export const BACKUP_PATTERNS: Readonly<Record<BackupWay, Readonly<Record<BarKind, BackupPattern>>>> = {
  'boom-chuck': {
    pairs: {
      counts: 2,
      touches: [
        { at: 0, sound: 'bass' },
        { at: 1, sound: 'chord' },
      ],
    },
    threes: {
      counts: 3,
      touches: [
        { at: 0, sound: 'bass' },
        { at: 1, sound: 'chord' },
        { at: 2, sound: 'chord' },
      ],
    },
    'twos of three': {
      counts: 1,
      touches: [
        { at: 0, sound: 'bass' },
        { at: 2 / 3, sound: 'chord' },
      ],
    },
  },
  chop: OFF_BEATS,
  vamp: OFF_BEATS,
  'long notes': OFF_BEATS,
  'root and fifth': {
    pairs: { counts: 2, touches: [{ at: 0, sound: 'bass' }] },
    threes: { counts: 3, touches: [{ at: 0, sound: 'bass' }] },
    'twos of three': { counts: 1, touches: [{ at: 0, sound: 'bass' }] },
  },
};

/** How each instrument plays behind the singer. Common practice, no source. */
export const WAY_OF: Readonly<Record<InstrumentName, BackupWay | null>> = {
  voice: null,
  guitar: 'boom-chuck',
  banjo: 'vamp',
  mandolin: 'chop',
  fiddle: 'long notes',
  'resonator guitar': 'chop',
  bass: 'root and fifth',
};

/** Each way in a clause, as it is played through a stretch. */
export const WAY_SAYS = {
  'boom-chuck': 'bass notes by turns on root and fifth, strums between them',
  'boom-chuck without fifths': 'a bass note for each chord, strums between them',
  chop: 'chords cut short on the off-beats',
  vamp: 'chords pinched on the off-beats',
  'root and fifth': 'the root first, the fifth by turns',
  'root and fifth without fifths': 'each chord’s own bass note',
  'long notes': 'long double-stops, a bow to a bar',
  'long notes within bars': 'long double-stops, a bow to a chord, to a bar at most',
  'soft chops': 'soft chops on the off-beats',
} as const;
export type WayPlayed = keyof typeof WAY_SAYS;

/** Costs of backup, in the unit of the hand plan's table. Common practice, no source. */
export const BACKUP_COSTS = {
  /** A shape is held for a while, not touched once: its own cost counts so many times against that of changes. */
  held: 2,
  /** A chop that leaves out the lowest course: it has less wood in it. */
  chopWithoutLow: 4,
  /** For each millimetre of the neck that a chop spans beyond what a hand grips in an instant (the G chop, frets 2 to 7, still is). */
  wideChop: 2,
  chopReachMillimetres: 80,
  /** For each fret beyond three that a mandolin's chop spans: fingers lie ready within three. */
  chopFret: 1,
  /** For each finger beyond three in it: three are grabbed and let go at once. */
  chopFinger: 6,
  /** What is strummed, chopped or bowed of a chord lacks its third, or the seventh that its name promises. */
  noThird: 9,
  noSeventh: 12,
  /** What is chopped lacks its root, which the bass has. */
  noRoot: 1.5,
  /** For each open string of a bar's chop: the hand has to damp it. */
  openChop: 1,
  /** For each string fewer than three that a guitar has to strum. */
  thinStrum: 12,
  /** What is strummed tells the chord from no other: its third and its seventh are below, or missing. */
  untoldStrum: 8,
  /** The song closes on a chord without its root, or with it neither lowest nor highest. */
  closeNoRoot: 30,
  closeRootInside: 18,
  /** For each fret that a guitar's lowest note lies beyond the third: basses ring in first position. */
  bassUpTheNeck: 2,
  /** For each semitone that each note of a double-stop moves to the next. */
  voiceStep: 0.7,
  /** For each semitone by which a long note's top goes above the lowest note sung meanwhile. */
  aboveVoice: 0.6,
  /** A bass's fifth above its root instead of below. */
  fifthAbove: 0.4,
  /** For each semitone that a bass goes from note to note, and beyond an octave. */
  bassSemitone: 0.08,
  bassBeyondOctave: 5,
  /** For each semitone of a bass above its low register. */
  bassHigh: 0.3,
  /** A walk that does not go by step. */
  walkLeap: 8,
} as const;

/** A bass's low register reaches to here (G2 as sounded): open strings and first position. */
export const BASS_REGISTER_TOP = 43;
/** A bow lasts no longer than this. Common practice, no source. */
export const LONGEST_BOW_SECONDS = 4;
