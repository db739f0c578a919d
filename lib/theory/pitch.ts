import { Note } from 'tonal';
import { itemAt } from '../base';

/** 0 = C … 11 = B. */
export type PitchClass = number;

const FLAT_NAMES = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];
const SHARP_NAMES = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'];

/** The pitch class of a MIDI note number or of any whole number of semitones above C. */
export function pitchClassOf(midi: number): PitchClass {
  return ((midi % 12) + 12) % 12;
}

/** A pitch class's name with sharps or with flats. */
export function spellPitchClass(pitchClass: PitchClass, prefer: 'sharps' | 'flats'): string {
  return itemAt(prefer === 'flats' ? FLAT_NAMES : SHARP_NAMES, pitchClassOf(pitchClass));
}

/** Scientific pitch name as sounded: 60 is C4, 69 is A4. */
export function pitchName(midi: number, prefer: 'sharps' | 'flats' = 'sharps'): string {
  return `${spellPitchClass(pitchClassOf(midi), prefer)}${Math.floor(midi / 12) - 1}`;
}

/** The MIDI note number of a scientific pitch name; null where there is none. */
export function midiOf(name: string): number | null {
  return Note.midi(name);
}

/** Frequency in equal temperament from A4 = 440 Hz (ISO 16). */
export function hertzOf(midi: number): number {
  return 440 * 2 ** ((midi - 69) / 12);
}
