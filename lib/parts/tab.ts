import type { FillNote } from '../song';
import type { Ticks } from '../time';
import type { Drawing, Instruction } from './drawing';

/** Signs of the Standard Music Font Layout (SMuFL 1.4, from memory) that tablature and lines use. */
export const SIGNS = {
  downBow: '\u{E610}',
  upBow: '\u{E612}',
  breathMark: '\u{E4CE}',
} as const;

/** Where a tablature piece stands and how large it is. */
export interface TabFrame {
  /** The stretch of time that the piece shows. */
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  /** Pixels from the piece's left edge to a tick; also for ticks before it. */
  readonly xOf: (tick: Ticks) => number;
  /** How many strings are drawn, string 1 on top. */
  readonly strings: number;
  /** Height of the top string's line, and from string to string. */
  readonly top: number;
  readonly stringStep: number;
  readonly numberSize: number;
  /** False: the stroke signs are left out; `every`: none is, as for somebody who learns them. */
  readonly strokes: boolean | 'every';
}

const LETTERS: Readonly<Partial<Record<FillNote['articulation'], string>>> = {
  hammer: 'h',
  pull: 'p',
  slurred: '',
};
const FINGERS = ['thumb', 'index', 'middle'] as const;
const FINGER_LETTERS: Readonly<Record<'thumb' | 'index' | 'middle', string>> = {
  thumb: 'T',
  index: 'I',
  middle: 'M',
};

/** Left margin of a number from its beat, so that a note on the barline does not sit on it. */
export const NUMBER_INSET = 6;

/**
 * Tablature for the notes of a fill that begin inside a frame: string lines, fret numbers, slurs, and strokes where they
 * are worth reading (in rolls, and where one goes against the player's way; in a plain run only its first).
 *
 * @param notes ticks on the same line of time as the frame's, in time order; notes outside the frame are used for
 *   slurs that come in from it, and not drawn
 */
export function tabDrawing(notes: readonly FillNote[], frame: TabFrame): Drawing {
  const drawing: Instruction[] = [];
  const width = frame.xOf(frame.endTick);
  const yOf = (string: number) => frame.top + (string - 1) * frame.stringStep;
  const xOf = (tick: Ticks) => frame.xOf(tick) + NUMBER_INSET;
  for (let string = 1; string <= frame.strings; string++) {
    drawing.push({ kind: 'line', x1: 0, y1: yOf(string), x2: width, y2: yOf(string), pen: 'faint' });
  }
  notes.forEach((note, i) => {
    if (note.tick < frame.startTick || note.tick >= frame.endTick) return;
    const x = xOf(note.tick);
    const y = yOf(note.string);
    const from = sourceOf(notes, i);
    const fromX = from ? Math.max(-NUMBER_INSET, xOf(from.tick)) : null;
    if (fromX !== null) drawing.push(...slur(note, fromX, x, y, frame.numberSize));
    if (note.articulation === 'choke')
      drawing.push(letter('c', x + frame.numberSize * 0.7, y, frame.numberSize));
    const text = String(note.fret);
    drawing.push({
      kind: 'text',
      x,
      y: y + frame.numberSize * 0.36,
      text,
      size: frame.numberSize,
      anchor: 'middle',
      face: 'plain',
      tone: 'ink',
      clear: frame.numberSize * (0.62 * text.length + 0.1),
    });
    if (frame.strokes && isStrokeShown(notes, i, frame.strokes === 'every'))
      drawing.push(strokeSign(notes, note, x, frame));
  });
  return drawing;
}

/** The note that a hammer-on, pull-off or slide comes from: the last one before it on its string. */
function sourceOf(notes: readonly FillNote[], index: number): FillNote | null {
  const note = notes[index];
  if (!note || !['hammer', 'pull', 'slide', 'slurred'].includes(note.articulation)) return null;
  for (let i = index - 1; i >= 0; i--) {
    const before = notes[i];
    if (before && before.string === note.string && before.tick < note.tick) return before;
  }
  return null;
}

function slur(note: FillNote, fromX: number, x: number, y: number, size: number): Instruction[] {
  const inset = size * 0.5;
  if (note.articulation === 'slide') {
    return [{ kind: 'line', x1: fromX + inset, y1: y + 2.5, x2: x - inset, y2: y - 2.5, pen: 'ink' }];
  }
  const sign = LETTERS[note.articulation] ?? '';
  // Over the top string stand the strokes: the arc begins beside its first note's, never through it.
  const begins = note.string === 1 ? Math.max(1, Math.min(size * 0.45, (x - fromX) * 0.4)) : 1;
  const arc: Instruction = {
    kind: 'arc',
    x1: fromX + begins,
    x2: x - 1,
    y: y - size * 0.5,
    height: size * 0.34,
  };
  if (sign === '') return [arc];
  // On its own string, between the two numbers and under their arc: above it stand the strokes, or another string.
  return [arc, letter(sign, (fromX + x) / 2, y + size * 0.72, size)];
}

/** A small letter over a note, or between two. */
function letter(text: string, x: number, y: number, size: number): Instruction {
  return {
    kind: 'text',
    x,
    y: y - size * 0.86,
    text,
    size: size * 0.74,
    anchor: 'middle',
    face: 'words',
    tone: 'quiet',
    clear: 0,
  };
}

function isStrokeShown(notes: readonly FillNote[], index: number, every: boolean): boolean {
  const note = notes[index];
  if (!note || note.stroke === null) return false;
  // Strings struck at once share one sign, over the first of them.
  if (notes.some((other, i) => i < index && other.tick === note.tick && other.stroke !== null)) return false;
  if (every || note.exception || note.strokeRule !== 'run') return true;
  return notes[index - 1]?.strokeRule !== 'run';
}

/** One sign for all that is struck at a tick: a pick's or bow's direction, or the letters of the fingers, thumb first. */
function strokeSign(notes: readonly FillNote[], note: FillNote, x: number, frame: TabFrame): Instruction {
  const isBow = note.stroke === 'down' || note.stroke === 'up';
  const struck = new Set(notes.filter((other) => other.tick === note.tick).map((other) => other.stroke));
  const fingers = FINGERS.filter((finger) => struck.has(finger)).map((finger) => FINGER_LETTERS[finger]);
  const text = isBow ? (note.stroke === 'down' ? SIGNS.downBow : SIGNS.upBow) : fingers.join('');
  const size = frame.numberSize * (isBow ? 1.6 : 0.86);
  return {
    kind: 'text',
    x,
    y: frame.top - frame.numberSize * 0.62,
    text: note.exception ? `${text}\u{2009}!` : text,
    size,
    anchor: 'middle',
    face: isBow ? 'music' : 'plain',
    tone: 'ink',
    clear: 0,
  };
}
