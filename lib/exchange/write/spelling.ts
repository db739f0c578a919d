import { itemAt } from '../../base';
import { type Key, keySignature } from '../../theory';

const LETTERS = 'FCGDAEB';
const NATURAL: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/** A pitch as it is written. */
export interface Spelled {
  readonly letter: string;
  /** Semitones above the letter's natural. */
  readonly alter: number;
  /** Octave 4 begins at middle C. */
  readonly octave: number;
}

/** Sharps or flats that a key's signature gives a letter. */
export function signatureOf(key: Key, letter: string): number {
  const fifths = keySignature(key);
  const place = LETTERS.indexOf(letter);
  if (fifths > 0) return Math.floor((fifths - place - 1) / 7) + 1;
  return -(Math.floor((-fifths - (6 - place) - 1) / 7) + 1);
}

/**
 * A sounding pitch spelled for a key: as the signature has it, else the neighbour of a letter of the scale (raised in sharp
 * keys, lowered in flat ones; a lowered seventh and third where the signature is plain). Common practice, no source.
 */
export function spell(midi: number, key: Key): Spelled {
  const candidates = [...LETTERS].flatMap((letter) =>
    [-2, -1, 0, 1, 2].map((alter) => {
      const octave = Math.round((midi - alter - naturalOf(letter)) / 12) - 1;
      const sounds = (octave + 1) * 12 + naturalOf(letter) + alter;
      return { letter, alter, octave, sounds };
    }),
  );
  const prefers = keySignature(key) > 1 ? 1 : -1;
  const cost = ({ letter, alter }: Spelled): number => {
    const away = Math.abs(alter - signatureOf(key, letter));
    return away === 0
      ? 0
      : away * 10 + Math.abs(alter) * 2 + (Math.sign(alter) === prefers || alter === 0 ? 0 : 1);
  };
  const right = candidates.filter(({ sounds }) => sounds === midi).sort((a, b) => cost(a) - cost(b));
  const { letter, alter, octave } = itemAt(right, 0);
  return { letter, alter, octave };
}

const naturalOf = (letter: string): number => NATURAL[letter] ?? 0;
