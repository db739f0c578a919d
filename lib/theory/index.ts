/**
 * Pitches, keys and chords, with their spelling, over the tonal library.
 * It knows nothing of instruments; pitch is a MIDI note number as sounded (A4 = 69 = 440 Hz).
 */
export { type Chord, type ChordTone, chordName, parseChord, toneOf, transposeChord } from './chord';
export { degreeOf } from './degree';
export { type Key, keyName, keySignature, MODES, type Mode, parseKey, scaleOf, transposeKey } from './key';
export { hertzOf, midiOf, type PitchClass, pitchClassOf, pitchName, spellPitchClass } from './pitch';
