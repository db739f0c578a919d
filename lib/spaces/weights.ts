/**
 * What speaks for and against the end of a phrase, in points. A point is one step of the natural logarithm of odds: what
 * has one point more is 2.7 times as likely, other things equal. The rows are common practice among singers, no source.
 * Their sizes are round values in the neighbourhood of those that make the line ends of hymn tunes and of some old songs
 * written down from memory the most likely ones (tests/outside/old-songs.abc); those of the words were set by hand, coarsely.
 */
export const PHRASE_WEIGHTS = {
  /** Every phrase end costs this: a singer does not breathe without a cause. */
  breathCost: 1.5,

  /** The voice is silent after the note at all; and for each counted beat of it, up to `restBeats`. */
  anyRest: 1.5,
  rest: 1,
  restBeats: 4,
  /** A breath mark or phrase end written after the note. */
  breath: 6,
  /** A fermata on the note. */
  fermata: 1,
  /** For each doubling of the time to the next note against the voice's middle one (taken off where it is shorter). */
  held: 1.5,
  /** For each doubling of it against the time that the next note has. */
  nextShorter: 0.5,
  /** Neither counts for more doublings than this. */
  heldMost: 2,

  /** For an octave between the note and the next; less in proportion. */
  leap: 0.5,
  /** The note is reached by a step down, as a line sinks to its close. */
  stepDown: 0.5,
  /** The voice begins again as it began at first: `openingNotes` notes with the same steps, and with the same rhythm. */
  opening: 1.5,
  openingRhythm: 0.75,
  openingNotes: 6,
  /** Something sung before begins again here, though what comes before it is another: `repeatNotes` notes of it. */
  repeat: 1.5,
  repeatNotes: 8,

  /** A section, or a pass, ends. */
  section: 4,
  /** A voice without words of its own: the leading voice ends a phrase here. */
  together: 6,

  /** A full stop, semicolon, colon, question or exclamation mark after the word. */
  stop: 4,
  /** A comma or a dash after the word. */
  comma: 1,
  /** The next word begins with a capital that is not merely a name's. */
  capital: 4,
  /** What is left of a capital if the song never has that word without one (a name, most likely). */
  nameShare: 0.5,
  /** A line of the words as they were written ends: often only the width of somebody's page. */
  lineEnd: 1,
  /**
   * Where no tune is written, somebody wrote the words down as they are sung, line by line: what a line's end then adds, and what an end inside a line costs
   * where no full stop stands.
   */
  sheetLineEnd: 3,
  insideLine: -3,
  /** Two stanzas or more, and every one shows one of these signs here. */
  stanzasAgree: 0.5,
  /** The word rhymes with one that ends `rhymeNotes` notes before or after it, at most. */
  rhyme: 1,
  rhymeNotes: 40,
  /** Inside a word, or while a syllable is held. */
  insideWord: -10,
  heldSyllable: -10,

  /** For each syllable (without words: note) that a phrase has fewer than `few`: usual are 6 to 12. */
  short: -1,
  few: 7,
  /** For each that it has more than `many`. */
  long: -0.35,
  many: 11,
  /** The phrase fills whole bars, so that the next one begins in the bar where it began. */
  wholeBars: 0.25,
  /** An even number of them. */
  evenBars: 0.5,
  /** It lasts two bars, or four. */
  twoBars: 0.25,
  fourBars: 0.5,

  /** It lasts as long as the phrase before it. */
  equalLength: 1,
  /** And has its rhythm: for all notes at the same times; less in proportion. */
  sameRhythm: 0.75,
  /** It has as many syllables as the phrase before it. */
  equalSyllables: 0.5,
} as const;

export type Weights = { readonly [rule in keyof typeof PHRASE_WEIGHTS]: number };

/** A phrase has at most this many notes after which it might have ended: one breath does not reach farther. */
export const LONGEST_PHRASE = 64;
