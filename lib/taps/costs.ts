/**
 * What the reading of taps minimises, in nats: minus the logarithm of how likely a thing is. Timing terms follow from their spreads in
 * seconds; the others are how often each thing happens. Common practice, no source, unless a row says otherwise.
 */
export const TAP_COSTS = {
  /**
   * Spreads of a tap round its grid place that are weighed, in seconds; one holds for a whole pass. Source, from memory: Repp, B. H. (2005),
   * 'Sensorimotor synchronization: A review of the tapping literature', Psychonomic Bulletin & Review 12, 969-992: some 2 to 4 per
   * cent of the interval for practised tappers at half a second, more for others. Words are less even than a drum.
   */
  spreads: [0.035, 0.055],
  /** The spread that adds nothing by itself. */
  usualSpread: 0.035,
  /** Beyond this many spreads a tap's cost grows in proportion, not in square: one bad tap does not pull the others. */
  square: 3,
  /** Where the lean begins: taps come early. Source, from memory: the same review, on the negative mean asynchrony, 20 to 80 ms. */
  lean: -0.025,
  leanSpread: 0.04,
  /** How far the lean wanders in a second: the tapper's tempo is not quite the clock's. */
  wander: 0.012,
  /** Spread of the drift over a whole pass, as a share of the tempo. */
  drift: 0.02,
  /** Of letting go, against tapping. */
  letGo: 2,
  /**
   * A syllable by its stress (none, weak, full) and its place's strength: 0 finer than a half beat (a third in compound meters), 1 such
   * a half or third, 2 a beat, 3 the middle of the bar, 4 the downbeat.
   */
  place: [
    [3.2, 0.4, 0.3, 0.5, 0.7],
    [3.4, 0.7, 0.2, 0.2, 0.2],
    [4, 1.2, 0.3, 0.1, 0],
  ],
  /** The end of what is sung, by its place's strength. */
  end: [3, 0.7, 0, 0, 0],
  /** A tap that nobody meant; one soon after another is mostly a double. */
  slip: 4.5,
  double: 2,
  /** Seconds within which a second tap is a double. */
  doubleWithin: 0.16,
  /** A line or syllable that nobody tapped; `notYet` where the tapper has only not come to it so far. */
  missed: 4.5,
  notYet: 0.25,
  /** For each doubling or halving of the usual step from syllable to syllable of a line. */
  step: 0.6,
  /** For each beat that a new line comes sooner than two beats after the last onset. */
  breath: 1,
  /** For each beat away from where the song has it so far; counted up to `mostAway`. */
  away: 0.12,
  mostAway: 1,
} as const;

/** The model with its levels, so that a test can make it small. */
export interface TapModel {
  /** Offsets of a tap from the clock that are weighed, in seconds, rising. */
  readonly leans: readonly number[];
  /** Spreads that are weighed, in seconds. */
  readonly spreads: readonly [number, ...number[]];
  /** How much faster a singer may be at the end than at the start, evenly growing, as shares that are weighed. */
  readonly drifts: readonly number[];
  /** How many taps or events in a row may be passed over. */
  readonly skips: number;
}

/** For taps to a beat that is heard all along. */
export const TAP_MODEL: TapModel = {
  leans: Array.from({ length: 17 }, (_, i) => (i - 10) * 0.015),
  spreads: TAP_COSTS.spreads,
  drifts: [0],
  skips: 2,
};

/** For taps after a count-in alone, or after nothing. */
export const FREE_MODEL: TapModel = {
  ...TAP_MODEL,
  drifts: [-0.04, -0.03, -0.02, -0.01, 0, 0.01, 0.02, 0.03, 0.04],
};

/**
 * What it costs that a chord comes to stand at a place, in beats of distance from words sung between beats. Common practice, no source: chords
 * change with the bar, some in its middle, few elsewhere.
 */
export const CHORD_COSTS = {
  /** By the strength of a place: between halves of beats, on such a half, on a beat, in the middle of the bar, on the downbeat. */
  weaker: [2.4, 2.4, 1.2, 0.6, 0],
  /** For each beat away from its words: those sung on a beat, and those between beats, which lead to their chord or trail it. */
  away: { onBeat: 1.5, between: 1 },
  /** It stood where the chord before it stood in its bar, and no longer does. */
  otherPlace: 1,
  /** So many bars from its words at most are looked at. */
  reach: 3,
} as const;
