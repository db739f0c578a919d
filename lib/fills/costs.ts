import type { InstrumentName } from '../instruments';

/**
 * What makes one fill rank above another, in points; the terms of this table are the reasons that an offer gives,
 * and their sum is its score. Whole numbers, so that the sum is exact. Common practice, no source: the order of
 * size is the trade's (follow the chords, land well, leave the singer room, be playable), the sizes are ours.
 */
export const FILL_COSTS = {
  /** Points for a family by itself, where it belongs: see `FAMILY_POINTS`. */
  family: 1,
  /** The last note has the pitch class that is sung next. */
  landsOnSung: 12,
  /** The last note is the root of its chord, or of the next one where it leads there. */
  landsOnRoot: 10,
  /** The last note is another chord tone. */
  landsOnChordTone: 7,
  /** The last note is none: taken off. */
  landsOutside: -15,
  /** The last note stands on a beat. */
  landsOnBeat: 4,
  /** It does not: the fill is chopped off. */
  landsOffBeat: -8,
  /** The last note leads by a step or two frets into the root of the next chord, and is no chord tone by intent. */
  leadsIntoNext: 10,
  /** The first note is within a third of the note just sung, in any octave. */
  startsNearSung: 5,
  /** For each note on a beat that is no chord tone. */
  outsideOnBeat: -4,
  /** For the share of the usable time that is played, of 100 %. */
  fillsSpace: 8,
  /** Around the voice, not on top of it: the middle of the fill is at least a fourth from the sung notes. */
  contrast: 4,
  /** A plucked fill with slurs, where the idiom has them. */
  slurs: 5,
  /** The same on the bass, which has them seldom. */
  slursOnBass: -3,
  /** A plucked fill of more than four notes without any. */
  noSlurs: -6,
  /** Speed below 70 % of what the player plays with ease. */
  easy: 5,
  /** Speed above what the player plays with ease. */
  hard: -8,
  /** For each stroke against the player's way. */
  exception: -2,
  /** A roll toward the next string that begins with an up-stroke on the beat. */
  upStrokeOnBeat: -4,
  /** For each change of the hand's place, and for each fret beyond two that it goes. */
  shift: -2,
  shiftFurther: -1,
  /** For each double-stop under a slanted bar. */
  slant: -2,
  /** For each 50 millimetres a second (`BAR_EASE_STEP`) by which a bar's fastest move is faster than is easy. */
  barTravel: -1.5,
  /** A roll out of a shape that reaches to the fifth fret or beyond. */
  reachesUp: -5,
  /** Under a held note: for each note above the voice while the tail still sounds. */
  overTail: -1,
  /** A tag lick where a section ends. */
  closes: 12,
  /** A tag lick where a line has come home from the dominant: as much in its place as a roll. */
  fullClose: 7,
  /** A tag lick that rests on the key's own chord: the end of a line, though not of the section. */
  closesLine: 2,
  /** A tag lick on any other chord, where nothing ends. */
  closesNothing: -10,
  /** A run that goes through the guard under the singer's pickup: only said. */
  throughGuard: 0,
  /** Said only. */
  told: 0,
} as const;

/** Points for a family as such, by instrument: how much it is that instrument's own way. Common practice, no source. */
export const FAMILY_POINTS: Readonly<Record<string, number>> = {
  'forward roll': 14,
  'backward roll': 11,
  'forward-reverse roll': 13,
  'alternating thumb roll': 13,
  'pinch and vamp': 9,
  'drone-led': 10,
  'cross-picked roll': 12,
  'bass run': 13,
  'run up': 9,
  'run down': 10,
  'tag lick': 8,
  'double-stops': 9,
  'tremolo double-stops': 12,
  answer: 11,
  'long bow': 11,
  shuffle: 12,
  'slide into the chord': 13,
  walk: 13,
  'root and fifth': 11,
  turnaround: 9,
  echo: 13,
  hum: 10,
  'own figure': 15,
};

/**
 * What the line search weighs, in points. Common practice, no source, after the rules for fills: chord tones on strong beats
 * and at the landing; between them passing notes, the flat third into the third, the flat seventh, the next chord a
 * little early.
 */
export const LINE_COSTS = {
  /** No chord tone on a beat; on the downbeat or the middle of the bar; on an "and" or between. */
  outsideOnBeat: 6,
  outsideOnStrongBeat: 9,
  outsideOffBeat: 0.6,
  /** Beside those: on the first beat of a chord that lasts two beats or more, which would go by unheard. */
  passesChordBy: 12,
  /** In the bass, on that beat: the fifth, the third, another tone of the chord. */
  bassOpensOnFifth: 4,
  bassOpensOnThird: 5,
  bassOpensElsewhere: 10,
  /** A walk's passing note on a weak beat; its leaps beyond a step; its turns; the same note again, beside `repeat`. */
  walksOnBeat: 1,
  walkLeaps: 2.5,
  /** … a third from chord tone to chord tone, as a bass goes through a chord that stays. */
  walkThirds: 0.6,
  walkTurns: 4,
  walkRepeats: 8,
  /** In neither the key nor the chord. */
  outOfKey: 4,
  /** The flat third where the third follows at once, and where it does not. */
  flatThirdIntoThird: 0.2,
  flatThirdElsewhere: 7,
  /** The flat third off the beat in a line for strings that are choked, and on from there down to the second or the root. */
  flatThirdChoked: -0.8,
  flatSeventh: 1,
  /** A tone of the chord that begins within an eighth, off the beat. */
  early: 0.3,
  /** A passing note that is left, or reached, by more than a whole tone. */
  passingLeftByLeap: 5,
  passingReachedByLeap: 2.5,
  /** For each semitone of a leap beyond a major third. */
  leapSemitone: 0.7,
  /** The same pitch again. */
  repeat: 3,
  /** The line turns round. */
  turn: 1.1,
  /** A move against the way that is asked for (up, down, up then down). */
  againstContour: 1.6,
  /** … where the line is to keep to it. */
  strictlyAgainst: 14,
  /** For each semitone beyond a fourth from where the line ought to start. */
  startSemitone: 0.35,
  /** For each semitone beyond a fourth from the middle of its register. */
  registerSemitone: 0.25,
  /** Where it lands: the root free of charge. */
  landOnThird: 2,
  landOnFifth: 3,
  landOnOther: 5,
  landOutside: 25,
  /** Taken off where the landing has the pitch class that is sung next. */
  landOnSung: -2.5,
  /** For each semitone beyond a whole tone that the next chord's root is away from the last note of a leading line. */
  leadSemitone: 1.6,
  /** The seeded difference between one variant and another: the most that it adds. */
  variety: 1.2,
} as const;

/** What a turn of an idea loses for what it leaves of it, in points. Common practice, no source. */
export const VARY_COSTS = {
  /** For the whole distance (1) from the idea. */
  away: 14,
  /** For each doubling, or so, of the notes beyond or below the share that is wanted of them. */
  shareAside: 16,
  wantedShare: 0.65,
  /** For each semitone that its mean pitch moves more or less than wanted. */
  semitoneAside: 0.6,
  wantedSemitones: 6,
} as const;

/**
 * What a slur costs a player, in points of a place's worth for one (`handSlurs`: three at most, one is needed). On thick, high strings hammers and pulls
 * hardly sound: an upright bass plays plainly but for a half step hammered off the beat. Common practice, no source.
 */
export const SLUR_COSTS: Readonly<Partial<Record<InstrumentName, number>>> = { bass: 2 };

/** Distance between two fills of one list, from 0 (the same) to 1 (nothing in common); see `distanceOf`. */
export const MIN_DISTANCE = 0.45;
/** What another family adds to the distance. */
export const FAMILY_DISTANCE = 0.2;

/** The fastest notes of a fill against the player's ease (a ratio of rates): beyond this it is dropped. */
export const MOST_OF_COMFORT = 1.35;
/** The grid is coarsened while its notes come faster than this many times the player's ease. */
export const STRAIN = 1.2;
/** How fast a hand moves along the neck beyond its own span, in millimetres a second: what needs more is dropped. */
export const HAND_SPEED = 1200;
/**
 * How fast a bar goes along the neck and still comes down in tune, in millimetres a second, beyond a little that it is turned without a move, in
 * millimetres; what needs more is dropped, a slide apart. Common practice, no source: five frets in the middle of the neck take a slow eighth.
 */
export const BAR_SPEED = 380;
export const BAR_TURN_MILLIMETRES = 25;
/** Up to here it goes at its ease; beyond, each so many millimetres a second cost `FILL_COSTS.barTravel`. */
export const BAR_EASE = 180;
export const BAR_EASE_STEP = 50;
/** Sixteenths are tried only while they stay below this share of the player's ease. */
export const SIXTEENTHS_UP_TO = 0.85;
/** The shortest note that a slur may split off, in seconds. Common practice, no source. */
export const SHORTEST_GRACE_SECONDS = 0.06;
/** A fill is not made for less time than this, in seconds, or for fewer notes. */
export const FEWEST_NOTES = 3;

/** Eighth notes a minute that a usual player plays with ease. Common practice, no source. */
export const USUAL_COMFORT: Readonly<Record<InstrumentName, number>> = {
  voice: 300,
  guitar: 440,
  banjo: 560,
  mandolin: 460,
  fiddle: 460,
  'resonator guitar': 440,
  bass: 300,
};

/**
 * Registers in which fills live, as MIDI numbers from the open strings of standard tuning up. `middle` is where a
 * line feels at home. Common practice, no source.
 */
export const REGISTERS: Readonly<
  Record<InstrumentName, { readonly lowest: number; readonly highest: number; readonly middle: number }>
> = {
  voice: { lowest: 48, highest: 76, middle: 62 },
  guitar: { lowest: 40, highest: 76, middle: 59 },
  banjo: { lowest: 50, highest: 79, middle: 63 },
  mandolin: { lowest: 55, highest: 88, middle: 71 },
  fiddle: { lowest: 55, highest: 88, middle: 71 },
  'resonator guitar': { lowest: 43, highest: 76, middle: 60 },
  bass: { lowest: 28, highest: 57, middle: 39 },
};
