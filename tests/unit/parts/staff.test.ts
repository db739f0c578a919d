import { describe, expect, it } from 'vitest';
import { fillDrawing, staffDrawing } from '@/lib/parts';
import type { FillNote } from '@/lib/song';
import type { Key } from '@/lib/theory';

const SHARP = '\u{E262}';
const FLAT = '\u{E260}';
const NATURAL = '\u{E261}';

const note = (tick: number, midi: number): FillNote => ({
  tick,
  ticks: 960,
  midi,
  string: 1,
  fret: 0,
  finger: 0,
  articulation: 'bowed',
  stroke: 'down',
  strokeRule: null,
  exception: false,
});

/** Accidentals drawn left of the first note (the key's), and those that stand before notes. */
function signs(key: Key, midi: readonly number[], clef: 'treble' | 'bass' = 'treble') {
  const drawing = staffDrawing(
    midi.map((each, i) => note(i * 960, each)),
    {
      startTick: 0,
      endTick: midi.length * 960,
      xOf: (tick) => tick / 10,
      clef,
      barTick: 0,
      beatTicks: 960,
      key,
      writtenAbove: 0,
      top: 0,
      lineStep: 10,
      showsClef: true,
      strokes: false,
    },
  );
  const found = drawing.flatMap((one) =>
    one.kind === 'text' && [SHARP, FLAT, NATURAL].includes(one.text)
      ? [{ sign: one.text, x: one.x, line: (40 - one.y) / 5 }]
      : [],
  );
  return {
    key: found.filter(({ x }) => x < -10).sort((a, b) => a.x - b.x),
    notes: found.filter(({ x }) => x >= -10).map(({ sign }) => sign),
  };
}

describe('a staff', () => {
  // Source, from memory: key signatures of common music notation, by the circle of fifths; lines and spaces counted from the lowest line.
  it('begins with the signs of its key, in their order and places', () => {
    const lines = (key: Key, clef?: 'bass') => signs(key, [], clef).key.map(({ line }) => line);
    expect(lines({ tonic: 'A', mode: 'major' })).toEqual([8, 5, 9]);
    expect(lines({ tonic: 'A', mode: 'major' }, 'bass')).toEqual([6, 3, 7]);
    expect(lines({ tonic: 'Eb', mode: 'major' })).toEqual([4, 7, 3]);
    expect(lines({ tonic: 'C', mode: 'major' })).toEqual([]);
    expect(lines({ tonic: 'D', mode: 'mixolydian' })).toEqual([8]);
  });

  it('has accidentals before notes that are not as the key has them, and before no others', () => {
    // In A: C# and G# are the key's; C and A# are not. In B flat: E flat is, E is not.
    expect(signs({ tonic: 'A', mode: 'major' }, [73, 80, 72, 70]).notes).toEqual([NATURAL, SHARP]);
    expect(signs({ tonic: 'Bb', mode: 'major' }, [75, 76, 70]).notes).toEqual([NATURAL]);
  });

  it('has room for clef and key before its first note, and nothing to the left of it', () => {
    const key: Key = { tonic: 'E', mode: 'major' };
    const drawing = fillDrawing([note(0, 71)], {
      startTick: 0,
      endTick: 960,
      xOf: (tick) => tick / 10,
      instrument: 'fiddle',
      key,
      barTick: 0,
      beatTicks: 960,
      top: 0,
      bottom: 60,
      numberSize: 12,
      begins: true,
    });
    const left = Math.min(...drawing.flatMap((one) => (one.kind === 'line' ? [one.x1] : [])));
    expect(drawing.every((one) => one.kind !== 'text' || one.x >= left)).toBe(true);
  });
});
