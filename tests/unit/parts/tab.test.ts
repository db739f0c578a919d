import { describe, expect, it } from 'vitest';
import { tabDrawing } from '@/lib/parts';
import type { FillNote } from '@/lib/song';
import { measure } from '@/server/print';

const EIGHTH = 480;
const SIZE = 13;

function tabOf(string: number) {
  const note = (tick: number, fret: number, more: Partial<FillNote>): FillNote => ({
    tick,
    ticks: EIGHTH,
    midi: 62 + fret,
    string,
    fret,
    finger: 0,
    articulation: 'struck',
    stroke: null,
    strokeRule: null,
    exception: false,
    ...more,
  });
  const notes = [
    note(0, 2, { stroke: 'middle', strokeRule: 'roll' }),
    note(EIGHTH, 0, { articulation: 'pull' }),
  ];
  return tabDrawing(notes, {
    startTick: 0,
    endTick: 4 * EIGHTH,
    xOf: (tick) => (tick / EIGHTH) * 2 * SIZE,
    strings: 5,
    top: 40,
    stringStep: SIZE,
    numberSize: SIZE,
    strokes: true,
  });
}

// Common practice, no source: a slur is not drawn through a letter of the right hand.
describe('the slur of a pull-off in tablature', () => {
  it.each([1, 2, 3, 4])('on string %i stands clear of the finger that struck its first note', (string) => {
    const drawing = tabOf(string);
    const finger = drawing.find((one) => one.kind === 'text' && one.text === 'M');
    const arc = drawing.find((one) => one.kind === 'arc');
    if (finger?.kind !== 'text' || arc?.kind !== 'arc') throw new Error('no finger, or no slur');
    const right = finger.x + measure(finger.text, finger.size, finger.face) / 2;
    const isUnder = arc.y - arc.height > finger.y;
    expect(isUnder || arc.x1 > right).toBe(true);
    expect(arc.x2 - arc.x1).toBeGreaterThan(SIZE / 2);
  });
});
