import fc from 'fast-check';
import { Note, Chord as TonalChord, Key as TonalKey } from 'tonal';
import { describe, expect, it } from 'vitest';
import {
  hertzOf,
  keySignature,
  midiOf,
  parseChord,
  parseKey,
  pitchClassOf,
  pitchName,
  scaleOf,
  toneOf,
  transposeChord,
  transposeKey,
} from '../../lib/theory';
import { swingTick } from '../../lib/time';

describe('pitch', () => {
  // Source: ISO 16:1975, Acoustics: standard tuning frequency (A above middle C is 440 Hz), from memory of its title and figure.
  it('tunes A4 to 440 Hz', () => {
    expect(midiOf('A4')).toBe(69);
    expect(hertzOf(69)).toBe(440);
    expect(hertzOf(57)).toBe(220);
  });

  // Source, from memory: equal temperament, ratio 2^(1/12) to a semitone; middle C is 261.63 Hz.
  it('puts middle C at 261.63 Hz', () => {
    expect(hertzOf(60)).toBeCloseTo(261.63, 2);
  });

  // Reference library: tonal
  it('names MIDI numbers as tonal does', () => {
    for (let midi = 21; midi <= 108; midi++) expect(Note.midi(pitchName(midi))).toBe(midi);
  });
});

describe('chords', () => {
  const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
  const kinds = ['', 'm', '7', 'maj7', 'm7', 'dim', 'aug', 'sus4', 'sus2', '6', 'm6', '9', 'm7b5', 'add9'];

  // Reference library: tonal
  it('has the tones that tonal has, whatever the root', () => {
    for (const root of roots) {
      for (const kind of kinds) {
        const expected = TonalChord.get(root + kind).notes.map((name) => Note.chroma(name));
        expect(parseChord(root + kind)?.tones.map((tone) => tone.pitchClass)).toEqual(expected);
      }
    }
  });

  // Source, from memory: any primer of harmony; a dominant seventh on G is G B D F.
  it('knows G7 by hand', () => {
    expect(parseChord('G7')?.tones.map((tone) => tone.pitchClass)).toEqual([7, 11, 2, 5]);
  });

  it('reads slash chords by their bass, and refuses what is no chord', () => {
    expect(parseChord('D/F#')).toMatchObject({ root: 2, bass: 6 });
    for (const symbol of ['', 'N.C.', 'H7', 'hello', 'G7/X', 'g']) expect(parseChord(symbol)).toBeNull();
  });

  it('finds a tone in any octave', () => {
    const chord = parseChord('Am');
    expect(chord && toneOf(chord, 64)).toMatchObject({ above: 7 });
    expect(chord && toneOf(chord, 65)).toBeNull();
  });

  // Common practice, no source: with capo 2, G shapes sound A.
  it('gives the shapes under a capo', () => {
    const g = { tonic: 'G', mode: 'major' } as const;
    expect(['A', 'D', 'E7', 'F#m', 'A/C#'].map((symbol) => transposeChord(symbol, -2, g))).toEqual([
      'G',
      'C',
      'D7',
      'Em',
      'G/B',
    ]);
  });

  it('comes back when moved up and down again', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...roots),
        fc.constantFrom(...kinds),
        fc.integer({ min: -11, max: 11 }),
        (root, kind, by) => {
          const key = { tonic: 'C', mode: 'major' } as const;
          const moved = transposeChord(transposeChord(root + kind, by, key), -by, key);
          expect(parseChord(moved)?.tones).toEqual(parseChord(root + kind)?.tones);
        },
      ),
    );
  });
});

describe('keys', () => {
  // Reference library: tonal
  it('has the signatures that tonal has', () => {
    for (const tonic of ['C', 'G', 'D', 'A', 'E', 'B', 'F#', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'Gb']) {
      expect(keySignature({ tonic, mode: 'major' })).toBe(TonalKey.majorKey(tonic).alteration);
      expect(scaleOf({ tonic, mode: 'major' })).toEqual(
        TonalKey.majorKey(tonic).scale.map((name) => pitchClassOf(Note.chroma(name) ?? -1)),
      );
    }
    for (const tonic of ['A', 'E', 'B', 'F#', 'D', 'G', 'C', 'F']) {
      expect(keySignature({ tonic, mode: 'minor' })).toBe(TonalKey.minorKey(tonic).alteration);
    }
  });

  it('reads keys as people write them', () => {
    expect(parseKey('Bb')).toEqual({ tonic: 'Bb', mode: 'major' });
    expect(parseKey('F#m')).toEqual({ tonic: 'F#', mode: 'minor' });
    expect(parseKey('D mix')).toEqual({ tonic: 'D', mode: 'mixolydian' });
    expect(parseKey('Ador')).toEqual({ tonic: 'A', mode: 'dorian' });
    expect(parseKey('X')).toBeNull();
  });

  it('spells a moved key with the fewest accidentals', () => {
    expect(transposeKey({ tonic: 'G', mode: 'major' }, 2).tonic).toBe('A');
    expect(transposeKey({ tonic: 'G', mode: 'major' }, 3).tonic).toBe('Bb');
  });
});

// Common practice, no source: shared/design/trade.md, 'Fills' (in slow 3/4 the eighths run long short long, short long short).
describe('swing', () => {
  it('makes six eighths of a waltz bar long short long short long short, threes alternately long and short first', () => {
    const starts = [0, 480, 960, 1440, 1920, 2400, 2880].map((tick) => swingTick({ ratio: 2 }, tick));
    const lengths = starts.slice(1).map((start, i) => (start - (starts[i] ?? 0) > 480 ? 'long' : 'short'));
    expect(lengths.slice(0, 3)).toEqual(['long', 'short', 'long']);
    expect(lengths.slice(3)).toEqual(['short', 'long', 'short']);
    expect(starts[1]).toBeCloseTo(640);
  });
});
