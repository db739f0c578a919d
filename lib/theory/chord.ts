import { Note, Chord as TonalChord } from 'tonal';
import { itemAt } from '../base';
import { type Key, keySignature } from './key';
import { type PitchClass, pitchClassOf, spellPitchClass } from './pitch';

export interface ChordTone {
  readonly pitchClass: PitchClass;
  /** Semitones above the root, 0 to 11. */
  readonly above: number;
}

/** A chord symbol, understood. */
export interface Chord {
  /** As it was written. */
  readonly symbol: string;
  readonly root: PitchClass;
  /** The note to be played lowest: the root, or what stands after the slash. */
  readonly bass: PitchClass;
  /** The root first; a slash note that is no chord tone is not among them. */
  readonly tones: readonly ChordTone[];
  /** What follows the root's name: `m7`, `` for a major triad. */
  readonly suffix: string;
  readonly third: 'major' | 'minor' | 'none';
}

const known = new Map<string, Chord | null>();

/**
 * Reads a chord symbol (`G`, `F#m7b5`, `C/E`); null where it is none. 'N.C.' (no chord) is none either.
 * The answer depends on the text alone and is remembered.
 */
export function parseChord(symbol: string): Chord | null {
  const remembered = known.get(symbol);
  if (remembered !== undefined) return remembered;
  if (known.size > 5000) known.clear();
  const chord = readChord(symbol);
  known.set(symbol, chord);
  return chord;
}

function readChord(symbol: string): Chord | null {
  const plain = symbol
    .trim()
    .replace(/♯/g, '#')
    .replace(/♭/g, 'b')
    .replace(/^\((.*)\)$/, '$1')
    .replace(/[()]/g, '');
  const match = /^([A-G](?:##|bb|#|b)?)([^/]*?)(?:\/([A-G](?:#|b)?))?$/.exec(plain);
  if (!match) return null;
  const rootName = itemAt(match, 1);
  const suffix = match[2] ?? '';
  const notes = TonalChord.getChord(suffix === '' ? 'M' : suffix, rootName).notes;
  const root = Note.chroma(rootName);
  if (notes.length === 0 || root === undefined || root === null || Number.isNaN(root)) return null;
  const tones = notes.map((name) => {
    const pitchClass = pitchClassOf(Note.chroma(name) ?? 0);
    return { pitchClass, above: pitchClassOf(pitchClass - root) };
  });
  const bass = match[3] ? pitchClassOf(Note.chroma(match[3]) ?? root) : root;
  const has = (above: number) => tones.some((tone) => tone.above === above);
  return { symbol, root, bass, tones, suffix, third: has(4) ? 'major' : has(3) ? 'minor' : 'none' };
}

/** The tone of a chord that a pitch is, or null. */
export function toneOf(chord: Chord, midi: number): ChordTone | null {
  const pitchClass = pitchClassOf(midi);
  return chord.tones.find((tone) => tone.pitchClass === pitchClass) ?? null;
}

/** A chord's name some semitones up or down: for a player with capo 2, `transposeChord(chord, -2, shapesKey)`. */
export function transposeChord(symbol: string, semitones: number, key: Key): string {
  const chord = parseChord(symbol);
  if (!chord) return symbol;
  return chordName(
    pitchClassOf(chord.root + semitones),
    chord.suffix,
    chord.bass === chord.root ? null : pitchClassOf(chord.bass + semitones),
    key,
  );
}

/** A chord's name spelled for a key. */
export function chordName(root: PitchClass, suffix: string, bass: PitchClass | null, key: Key): string {
  const prefer = keySignature(key) < 0 ? 'flats' : 'sharps';
  const name = spellPitchClass(root, prefer) + suffix;
  return bass === null ? name : `${name}/${spellPitchClass(bass, prefer)}`;
}
