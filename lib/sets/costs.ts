import type { OrderWeights } from './types';

/** What a change takes a practised player before a crowd, in seconds. */
export const CHANGE_SECONDS = {
  /** From a pocket or the headstock to the fret, and a listen. Common practice, no source. */
  capoOn: 7,
  /** Common practice, no source. */
  capoOff: 5,
  /** Common practice, no source. */
  capoMoved: 9,
  /** A banjo's fifth string under or out from under its hook, and tuned. Common practice, no source. */
  fifthString: 6,
  /** For each string that is retuned: to find it, sound it and settle it. Common practice, no source. */
  string: 4,
  /** And for each semitone that it goes. Common practice, no source. */
  semitone: 1.5,
  /** After any retuning: a look over all strings, since the others give. Common practice, no source. */
  lookOver: 5,
  /** One instrument down, another up and plugged in or brought to the microphone. Common practice, no source. */
  instrument: 18,
  /** A tuning that we do not know: so many strings of it are taken to differ, by so many semitones. Common practice, no source. */
  unknownStrings: 3,
  unknownSemitones: 2,
} as const;

/** Between two songs of a set there is applause: nobody counts this as waiting. Seconds. Common practice, no source. */
export const LEAST_PAUSE_SECONDS = 8;

/**
 * What an order is judged by, in seconds' worth (how long a band would let a crowd wait to be spared it). A set file
 * may say otherwise. Common practice, no source: the trade asks for few changes, no long run of one key or tempo, a rested voice, a
 * strong opener and closer; how much each is worth is ours.
 */
export const ORDER_WEIGHTS: OrderWeights = {
  waiting: 1,
  effort: 0.5,
  sameKey: 5,
  sameTempo: 8,
  sameSinger: 6,
  voiceRest: 10,
  energy: 6,
  shakyFirst: 40,
  near: 25,
  apart: 60,
};

/** Tempos this many times as fast do not sound like one tempo. Common practice, no source. */
export const OTHER_TEMPO_RATIO = 1.25;

/** From this energy on a song is strong, and hard on the voice. Common practice, no source. */
export const STRONG_ENERGY = 4;

/**
 * A set's rise and fall: [how far through the set, how strong], from 0 to 1. A strong opener, a settling down, a lift to the
 * middle, a quiet song at two thirds, and up to the strongest at the end. Common practice, no source.
 */
export const RISE_AND_FALL: readonly (readonly [number, number])[] = [
  [0, 0.8],
  [0.25, 0.45],
  [0.5, 0.65],
  [0.67, 0.3],
  [1, 1],
];

/** How much higher each later set stands. Common practice, no source. */
export const LATER_SET_RISE = 0.05;

/** A song whose length nobody said, in seconds. Common practice, no source. */
export const USUAL_SONG_SECONDS = 180;

/** What a song that is cut was worth, in seconds' worth. Common practice, no source: the strong ones are missed, the shaky ones less. */
export const CUT_WORTH = {
  /** For each step of its energy. */
  energy: 20,
  /** Where its energy is not said. */
  usualEnergy: 3,
  /** A shaky song is worth this share. */
  shakyShare: 0.5,
} as const;
