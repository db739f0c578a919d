import { Note } from 'tonal';
import { itemAt } from '../base';
import { type PitchClass, pitchClassOf, spellPitchClass } from './pitch';

export const MODES = ['major', 'minor', 'dorian', 'phrygian', 'lydian', 'mixolydian', 'locrian'] as const;
export type Mode = (typeof MODES)[number];

export interface Key {
  /** Letter with an accidental: `G`, `Bb`, `F#`. */
  readonly tonic: string;
  readonly mode: Mode;
}

/** Steps of each mode above its tonic, in semitones. */
const STEPS: Readonly<Record<Mode, readonly number[]>> = {
  major: [0, 2, 4, 5, 7, 9, 11],
  minor: [0, 2, 3, 5, 7, 8, 10],
  dorian: [0, 2, 3, 5, 7, 9, 10],
  phrygian: [0, 1, 3, 5, 7, 8, 10],
  lydian: [0, 2, 4, 6, 7, 9, 11],
  mixolydian: [0, 2, 4, 5, 7, 9, 10],
  locrian: [0, 1, 3, 5, 6, 8, 10],
};

/** Fifths between a mode's own major signature and its tonic's. */
const FIFTHS: Readonly<Record<Mode, number>> = {
  major: 0,
  minor: -3,
  dorian: -2,
  phrygian: -4,
  lydian: 1,
  mixolydian: -1,
  locrian: -5,
};

/** Sharps (above 0) or flats (below 0) of a key's signature. */
export function keySignature(key: Key): number {
  const letterFifths: Record<string, number> = { F: -1, C: 0, G: 1, D: 2, A: 3, E: 4, B: 5 };
  const letter = letterFifths[key.tonic.charAt(0)] ?? 0;
  const accidental = [...key.tonic.slice(1)].reduce((sum, sign) => sum + (sign === '#' ? 7 : -7), 0);
  return letter + accidental + FIFTHS[key.mode];
}

/** The seven pitch classes of a key, from its tonic up. */
export function scaleOf(key: Key): readonly PitchClass[] {
  const tonic = Note.chroma(key.tonic) ?? 0;
  return STEPS[key.mode].map((step) => pitchClassOf(tonic + step));
}

/** As a musician writes it: `G`, `Em`, `D mixolydian`. */
export function keyName(key: Key): string {
  if (key.mode === 'major') return key.tonic;
  return key.mode === 'minor' ? `${key.tonic}m` : `${key.tonic} ${key.mode}`;
}

/** Reads `G`, `Gm`, `G minor`, `D mix`, `A dorian`, `C major`; null where it is none of these. */
export function parseKey(text: string): Key | null {
  const match = /^\s*([A-Ga-g])\s*([#b♯♭]?)\s*([A-Za-z]*)\s*$/.exec(text);
  if (!match) return null;
  const accidental = (match[2] ?? '').replace('♯', '#').replace('♭', 'b');
  const word = match[3] ?? '';
  const mode = parseMode(word);
  return mode ? { tonic: itemAt(match, 1).toUpperCase() + accidental, mode } : null;
}

function parseMode(word: string): Mode | null {
  if (word === '' || word === 'M') return 'major';
  const short = word.toLowerCase();
  if (short === 'm' || short === 'min' || short === 'aeo' || short === 'aeolian') return 'minor';
  if (short === 'ion' || short === 'ionian') return 'major';
  return short.length >= 3 ? (MODES.find((mode) => mode.startsWith(short)) ?? null) : null;
}

/** The key some semitones up (or down), spelled with the fewest accidentals in its signature (flats on a tie). */
export function transposeKey(key: Key, semitones: number): Key {
  const pitchClass = pitchClassOf((Note.chroma(key.tonic) ?? 0) + semitones);
  const flat = { tonic: spellPitchClass(pitchClass, 'flats'), mode: key.mode };
  const sharp = { tonic: spellPitchClass(pitchClass, 'sharps'), mode: key.mode };
  return Math.abs(keySignature(sharp)) < Math.abs(keySignature(flat)) ? sharp : flat;
}
