import type { Timeline } from '../song';
import { beatTicks, type Ticks } from '../time';
import type { Drawing, Instruction } from './drawing';
import { chordInSigns } from './sentences';

/** Where beats, barlines and chords are drawn over a stretch of time. */
export interface RulerFrame {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly xOf: (tick: Ticks) => number;
  /** Base line of the chord names. */
  readonly chordBase: number;
  readonly chordSize: number;
  /** Barlines reach from here to the beat ticks. */
  readonly top: number;
  readonly tickTop: number;
  /** From a chord as sounded to the name that the player reads. */
  readonly chordName: (symbol: string) => string;
}

/** Beat ticks, barlines through the notes, and the chords that hold: so that one sees where beat 1 is. */
export function rulerDrawing(timeline: Timeline, frame: RulerFrame): Drawing {
  const drawing: Instruction[] = [];
  const isInside = (tick: Ticks) => tick >= frame.startTick && tick <= frame.endTick;
  for (const { bar, startTick, endTick } of timeline.bars) {
    if (endTick <= frame.startTick || startTick > frame.endTick) continue;
    if (isInside(startTick)) {
      const x = frame.xOf(startTick);
      drawing.push({ kind: 'line', x1: x, y1: frame.top, x2: x, y2: frame.tickTop + 6, pen: 'ink' });
    }
    const beat = beatTicks(bar.meter);
    const phase = bar.pickup ? bar.ticks % beat : 0;
    for (let tick = startTick + phase; tick < endTick; tick += beat) {
      if (!isInside(tick)) continue;
      const x = frame.xOf(tick);
      drawing.push({ kind: 'line', x1: x, y1: frame.tickTop, x2: x, y2: frame.tickTop + 5, pen: 'ink' });
    }
  }
  for (const chord of timeline.chordsIn(frame.startTick, frame.endTick)) {
    drawing.push({
      kind: 'text',
      x: frame.xOf(Math.max(frame.startTick, chord.startTick)) + 1,
      y: frame.chordBase,
      text: chordInSigns(frame.chordName(chord.symbol)),
      size: frame.chordSize,
      anchor: 'start',
      face: 'plain',
      tone: 'ink',
      clear: 0,
    });
  }
  return drawing;
}
