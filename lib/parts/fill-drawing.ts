import { INSTRUMENT_FACTS, type InstrumentName } from '../instruments';
import type { FillNote } from '../song';
import type { Key } from '../theory';
import type { Ticks } from '../time';
import type { Drawing } from './drawing';
import { roomAtClef, staffDrawing } from './staff';
import { tabDrawing } from './tab';

/** How a fill is drawn in a piece of time, whatever its instrument reads. */
export interface FillFrame {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  /** Pixels from the piece's left edge to a tick. */
  readonly xOf: (tick: Ticks) => number;
  readonly instrument: InstrumentName;
  readonly key: Key;
  readonly barTick: Ticks;
  readonly beatTicks: Ticks;
  /** The height in which it stands. */
  readonly top: number;
  readonly bottom: number;
  readonly numberSize: number;
  /** True where the piece begins the fill. */
  readonly begins: boolean;
}

/** Fiddle and bass are read from notation; everything else from tablature. Common practice, no source. */
export function readsNotation(instrument: InstrumentName): boolean {
  return instrument === 'fiddle' || instrument === 'bass' || instrument === 'voice';
}

/** What a voice sings, under the notes that begin inside a frame. */
function wordsDrawing(notes: readonly FillNote[], frame: FillFrame): Drawing {
  return notes.flatMap((note): Drawing => {
    if (note.word === undefined || note.tick < frame.startTick || note.tick >= frame.endTick) return [];
    return [
      {
        kind: 'text',
        x: frame.xOf(note.tick),
        y: frame.bottom + frame.numberSize * 0.5,
        text: note.word,
        size: frame.numberSize,
        anchor: 'start',
        face: 'words',
        tone: 'ink',
        clear: 0,
      },
    ];
  });
}

const TAB_STEPS = 5;

/** Pixels that a fill's drawing takes before its first note: for clef and key, or none. */
export function roomBefore(frame: Pick<FillFrame, 'instrument' | 'key' | 'top' | 'bottom'>): number {
  return readsNotation(frame.instrument) ? roomAtClef(frame.key) * staffStep(frame) : 0;
}

/** A staff leaves room for ledger lines above and below. */
const staffStep = ({ top, bottom }: Pick<FillFrame, 'top' | 'bottom'>): number => (bottom - top) / 6;

/** Tablature or plain notation for the notes that begin inside a frame. */
export function fillDrawing(notes: readonly FillNote[], frame: FillFrame): Drawing {
  if (readsNotation(frame.instrument)) {
    const lineStep = staffStep(frame);
    const staff = staffDrawing(notes, {
      ...frame,
      clef: frame.instrument === 'bass' ? 'bass' : 'treble',
      writtenAbove: INSTRUMENT_FACTS[frame.instrument].writtenAbove,
      top: frame.top + lineStep,
      lineStep,
      showsClef: frame.begins,
      strokes: true,
    });
    return [...staff, ...wordsDrawing(notes, frame)];
  }
  const strings = INSTRUMENT_FACTS[frame.instrument].tunings[0]?.midi.length ?? 6;
  const most = (frame.bottom - frame.top) / TAB_STEPS;
  const stringStep = Math.min(most * 1.15, (frame.bottom - frame.top) / (strings - 1));
  // Fewer strings stand lower, round the words, and keep their distance.
  return tabDrawing(notes, {
    ...frame,
    strings,
    top: frame.bottom - stringStep * (strings - 1),
    stringStep,
    strokes: true,
  });
}
