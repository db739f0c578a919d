import type { InstrumentName } from '../instruments';

/**
 * What a plan costs, in points: the plan is the one of least cost, and the terms are the reasons that it gives. Common practice, no
 * source: the order of size is the trade's (turns are shared, and taken by the pass; silence is a choice), the sizes are ours.
 */
export const PLAN_COSTS = {
  /** For each point by which the best offer of a player scores below the song's usual best offer (their median); above it, taken off. */
  fit: 0.5,
  /** Nothing can be written out for the player there: they would have to play ad lib. */
  adLib: 20,
  /** A turn beyond a player's fair share costs this much more than the turn before it, and the other way below it (turns squared). */
  turn: 3,
  /** Likewise for spaces left open, against the share that the band wants open. */
  open: 10,
  /** Another player takes over inside a pass; at the middle of a pass; the same player keeps the fills into the next pass. */
  changeInside: 12,
  changeAtHalf: 3,
  staysOn: 5,
  /** The next holder has the same instrument as the one before; one whose fills lie less than `NEAR_SEMITONES` away. */
  sameColour: 6,
  sameRegister: 3,
  /** While the player has the fill, nobody else in the band could take the chop. */
  noChop: 8,
  /** For each player whom the holder crosses at the one microphone, on the way in and again on the way out. */
  crosses: 2,
  /** A fill in a pass that is sung in harmony; one over sung harmony itself. */
  inHarmonyPass: 5,
  overHarmony: 8,
  /** For a fill in the first pass; as much is taken off in the last, and in even steps between. */
  buildUp: 3,
  /** Nobody plays a pass in which nobody sings. */
  emptyBreak: 80,
  /** What the roadmap or the band has said already: said only. */
  told: 0,
} as const;

/** How near two players' fills lie, by the middle of their notes, to count as one register: a fourth. */
export const NEAR_SEMITONES = 5;

/** How many turns a player wants against the others, by instrument. Common practice, no source: a bass mostly stays with its walk. */
export const USUAL_WANT: Readonly<Record<InstrumentName, number>> = {
  voice: 0,
  guitar: 1,
  banjo: 1,
  mandolin: 1,
  fiddle: 1,
  'resonator guitar': 1,
  bass: 0.5,
};
