import { itemAt, lastOf } from '../base';
import type { FillNote } from '../song';
import { type Key, keySignature } from '../theory';
import { TICKS_PER_QUARTER, type Ticks } from '../time';
import type { Drawing, Instruction } from './drawing';
import { SIGNS } from './tab';

/** Where a piece of staff stands: five lines; a clef and the key's signature before its first note; accidentals where a note is not the signature's. */
export interface StaffFrame {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  /** Pixels from the piece's left edge to a tick. */
  readonly xOf: (tick: Ticks) => number;
  readonly clef: 'treble' | 'bass';
  /** From which tick beats are counted, and how long one is: notes of a beat share a beam. */
  readonly barTick: Ticks;
  readonly beatTicks: Ticks;
  readonly key: Key;
  /** Semitones by which the instrument is written above its sound. */
  readonly writtenAbove: number;
  /** Height of the top line, and from line to line. */
  readonly top: number;
  readonly lineStep: number;
  /** True where the piece begins the fill: the clef stands there. */
  readonly showsClef: boolean;
  readonly strokes: boolean;
}

/** Room for the clef, and for each sign of the key after it, in line steps. */
const CLEF_ROOM = 4;
const SIGN_ROOM = 1.05;

/** Room for the clef and the key's signature before the first note, in line steps. */
export const roomAtClef = (key: Key): number => CLEF_ROOM + SIGN_ROOM * Math.abs(keySignature(key));

/** Glyphs of SMuFL 1.4, from memory: Source, from memory: Standard Music Font Layout, W3C Music Notation Community Group. */
const GLYPHS = {
  treble: '\u{E050}',
  bass: '\u{E062}',
  whole: '\u{E0A2}',
  half: '\u{E0A3}',
  black: '\u{E0A4}',
  dot: '\u{E1E7}',
  flat: '\u{E260}',
  natural: '\u{E261}',
  sharp: '\u{E262}',
  flagUp: ['', '\u{E240}', '\u{E242}'],
  flagDown: ['', '\u{E241}', '\u{E243}'],
} as const;

const ACCIDENTALS = { '#': GLYPHS.sharp, b: GLYPHS.flat, natural: GLYPHS.natural } as const;

type Accidental = '' | '#' | 'b';
type Spelling = readonly [number, Accidental];
/** Letter steps above C of each pitch class, with its accidental, spelled with sharps or with flats. */
const SHARPS: readonly Spelling[] = [
  [0, ''],
  [0, '#'],
  [1, ''],
  [1, '#'],
  [2, ''],
  [3, ''],
  [3, '#'],
  [4, ''],
  [4, '#'],
  [5, ''],
  [5, '#'],
  [6, ''],
];
const FLATS: readonly Spelling[] = [
  [0, ''],
  [1, 'b'],
  [1, ''],
  [2, 'b'],
  [2, ''],
  [3, ''],
  [4, 'b'],
  [4, ''],
  [5, 'b'],
  [5, ''],
  [6, 'b'],
  [6, ''],
];

/** The diatonic step of the bottom line: E4 in the treble clef, G2 in the bass clef, counted from C0. */
const BOTTOM = { treble: 4 * 7 + 2, bass: 2 * 7 + 4 } as const;

/** Where the signs of a key stand in the treble clef, in the order in which they come: letter steps above C, and diatonic steps above the bottom line. */
const SIGNATURES = {
  '#': { letters: [3, 0, 4, 1, 5, 2, 6], steps: [8, 5, 9, 6, 3, 7, 4] },
  b: { letters: [6, 2, 5, 1, 4, 0, 3], steps: [4, 7, 3, 6, 2, 5, 1] },
} as const;
/** In the bass clef they stand this much lower. */
const BASS_LOWER = 2;

/** The signs of a key, each with its letter step above C. Source, from memory: the circle of fifths and the order of its signs. */
function signatureOf(key: Key) {
  const fifths = keySignature(key);
  const sign: Accidental = fifths < 0 ? 'b' : '#';
  const { letters, steps } = SIGNATURES[sign];
  return letters
    .slice(0, Math.abs(fifths))
    .map((letter, i) => ({ letter, step: itemAt(steps, i), accidental: sign }));
}

interface Head {
  readonly note: FillNote;
  /** Diatonic steps above the bottom line. */
  readonly step: number;
  /** The sign that stands before it; null: it is as the key has it. */
  readonly sign: keyof typeof ACCIDENTALS | null;
}
interface Chord {
  readonly tick: Ticks;
  readonly heads: readonly Head[];
  readonly value: Value;
}
interface Value {
  readonly head: 'whole' | 'half' | 'black';
  readonly flags: 0 | 1 | 2;
  readonly dotted: boolean;
}

/** Written values, the longest first; a length is written as the longest that it fills. */
const VALUES: readonly (readonly [Ticks, Value])[] = [
  [4 * TICKS_PER_QUARTER, { head: 'whole', flags: 0, dotted: false }],
  [3 * TICKS_PER_QUARTER, { head: 'half', flags: 0, dotted: true }],
  [2 * TICKS_PER_QUARTER, { head: 'half', flags: 0, dotted: false }],
  [1.5 * TICKS_PER_QUARTER, { head: 'black', flags: 0, dotted: true }],
  [TICKS_PER_QUARTER, { head: 'black', flags: 0, dotted: false }],
  [0.75 * TICKS_PER_QUARTER, { head: 'black', flags: 1, dotted: true }],
  [TICKS_PER_QUARTER / 3, { head: 'black', flags: 1, dotted: false }],
];
const SHORTEST: Value = { head: 'black', flags: 2, dotted: false };

/**
 * Plain notation of one melodic voice (with double-stops) along its beats: heads, stems, beams by the beat, ledger lines,
 * an accidental wherever a note is not as the key has it, slurs, bow signs. Rests are the white space itself, drawn to scale.
 */
export function staffDrawing(notes: readonly FillNote[], frame: StaffFrame): Drawing {
  const drawing: Instruction[] = [];
  const width = frame.xOf(frame.endTick);
  const step = frame.lineStep;
  const bottom = frame.top + 4 * step;
  const from = frame.showsClef ? -roomAtClef(frame.key) * step : 0;
  for (let line = 0; line < 5; line++) {
    const y = frame.top + line * step;
    drawing.push({ kind: 'line', x1: from, y1: y, x2: width, y2: y, pen: 'faint' });
  }
  if (frame.showsClef) drawing.push(clef(frame, from, bottom), ...signature(frame, from, bottom));
  const chords = chordsOf(notes, frame);
  const xOf = (tick: Ticks) => frame.xOf(tick) + step * 0.9;
  const yOf = (diatonic: number) => bottom - (diatonic * step) / 2;
  for (const group of beamGroups(chords, frame)) drawing.push(...drawGroup(group, xOf, yOf, step));
  const highest = Math.max(0, ...chords.map(topOf));
  const bowLine = Math.min(frame.top - step * 0.6, yOf(highest) - step * 1.4);
  chords.forEach((chord, i) => {
    drawing.push(...drawHeads(chord, xOf(chord.tick), yOf, step));
    const before = chords[i - 1];
    const isSlurred = chord.heads.some((head) =>
      ['hammer', 'pull', 'slide', 'slurred'].includes(head.note.articulation),
    );
    if (before && isSlurred) {
      const y = Math.min(yOf(topOf(before)), yOf(topOf(chord))) - step;
      drawing.push({ kind: 'arc', x1: xOf(before.tick), x2: xOf(chord.tick), y, height: step * 0.6 });
    }
    const stroke = itemAt(chord.heads, 0).note.stroke;
    if (frame.strokes && stroke !== null && (stroke === 'down' || stroke === 'up')) {
      drawing.push({
        kind: 'text',
        x: xOf(chord.tick),
        // One height for all of them, clear of stems and high notes.
        y: bowLine,
        text: stroke === 'down' ? SIGNS.downBow : SIGNS.upBow,
        size: step * 2.2,
        anchor: 'middle',
        face: 'music',
        tone: 'ink',
        clear: 0,
      });
    }
  });
  return drawing;
}

function clef(frame: StaffFrame, x: number, bottom: number): Instruction {
  // The G line is the second from below, the F line the second from above.
  const y = frame.clef === 'treble' ? bottom - frame.lineStep : frame.top + frame.lineStep;
  return glyph(frame.clef === 'treble' ? GLYPHS.treble : GLYPHS.bass, x + 1, y, frame.lineStep, 'start');
}

function signature({ key, clef: of, lineStep }: StaffFrame, from: number, bottom: number): Instruction[] {
  return signatureOf(key).map(({ step, accidental }, i) => {
    const y = bottom - ((step - (of === 'bass' ? BASS_LOWER : 0)) * lineStep) / 2;
    const x = from + (CLEF_ROOM - 0.9 + SIGN_ROOM * i) * lineStep;
    return glyph(ACCIDENTALS[accidental], x, y, lineStep, 'start');
  });
}

function glyph(text: string, x: number, y: number, step: number, anchor: 'start' | 'middle'): Instruction {
  return { kind: 'text', x, y, text, size: 4 * step, anchor, face: 'music', tone: 'ink', clear: 0 };
}

function chordsOf(notes: readonly FillNote[], frame: StaffFrame): readonly Chord[] {
  const byTick = new Map<Ticks, FillNote[]>();
  for (const note of notes) {
    if (note.tick < frame.startTick || note.tick >= frame.endTick) continue;
    const at = byTick.get(note.tick);
    if (at) at.push(note);
    else byTick.set(note.tick, [note]);
  }
  const ticks = [...byTick.keys()].sort((a, b) => a - b);
  return ticks.map((tick) => {
    const sounding = byTick.get(tick) ?? [];
    const heads = sounding.map((note) => headOf(note, frame)).sort((a, b) => a.step - b.step);
    return { tick, heads, value: writtenValue(Math.max(...sounding.map((note) => note.ticks))) };
  });
}

function headOf(note: FillNote, frame: StaffFrame): Head {
  const written = note.midi + frame.writtenAbove;
  const spelling = itemAt(keySignature(frame.key) < 0 ? FLATS : SHARPS, ((written % 12) + 12) % 12);
  const octave = Math.floor(written / 12) - 1;
  const [letter, accidental] = spelling;
  const inKey = signatureOf(frame.key).find((each) => each.letter === letter)?.accidental ?? '';
  const sign = accidental === inKey ? null : accidental === '' ? 'natural' : accidental;
  return { note, step: octave * 7 + letter - BOTTOM[frame.clef], sign };
}

function writtenValue(ticks: Ticks): Value {
  return VALUES.find(([least]) => ticks >= least - 1)?.[1] ?? SHORTEST;
}

/** Notes with flags that follow one another inside one beat are beamed; all others stand alone. */
function beamGroups(chords: readonly Chord[], frame: StaffFrame): readonly (readonly Chord[])[] {
  const groups: Chord[][] = [];
  const beatOf = (chord: Chord) => Math.floor((chord.tick - frame.barTick) / frame.beatTicks);
  for (const chord of chords) {
    const last = groups[groups.length - 1];
    const before = last ? lastOf(last) : undefined;
    const joins =
      before && before.value.flags > 0 && chord.value.flags > 0 && beatOf(before) === beatOf(chord);
    if (last && joins) last.push(chord);
    else groups.push([chord]);
  }
  return groups;
}

const topOf = (chord: Chord): number => lastOf(chord.heads).step;
const lowOf = (chord: Chord): number => itemAt(chord.heads, 0).step;

/** Stems (up below the middle line, down above it) and their beams or flags. */
function drawGroup(
  group: readonly Chord[],
  xOf: (tick: Ticks) => number,
  yOf: (step: number) => number,
  step: number,
): Instruction[] {
  const middle = 4;
  const mean = group.reduce((sum, chord) => sum + (topOf(chord) + lowOf(chord)) / 2, 0) / group.length;
  const up = mean < middle;
  const side = up ? step * 0.56 : -step * 0.56;
  const stemmed = group.filter((chord) => chord.value.head !== 'whole');
  if (stemmed.length === 0) return [];
  const tips = stemmed.map((chord) => (up ? yOf(topOf(chord)) - 3.2 * step : yOf(lowOf(chord)) + 3.2 * step));
  const beamY = up ? Math.min(...tips) : Math.max(...tips);
  const isBeamed = group.length > 1;
  const drawing: Instruction[] = [];
  stemmed.forEach((chord, i) => {
    const x = xOf(chord.tick) + side;
    const tip = isBeamed ? beamY : itemAt(tips, i);
    drawing.push({
      kind: 'line',
      x1: x,
      y1: up ? yOf(lowOf(chord)) : yOf(topOf(chord)),
      x2: x,
      y2: tip,
      pen: 'ink',
    });
    if (!isBeamed && chord.value.flags > 0) {
      const flag = itemAt(up ? GLYPHS.flagUp : GLYPHS.flagDown, chord.value.flags);
      drawing.push(glyph(flag, x, tip, step, 'start'));
    }
  });
  if (isBeamed) {
    const x1 = xOf(itemAt(stemmed, 0).tick) + side;
    const x2 = xOf(lastOf(stemmed).tick) + side;
    const beams = Math.max(...stemmed.map((chord) => chord.value.flags));
    for (let beam = 0; beam < beams; beam++) {
      for (const thick of [0, 1, 2]) {
        const y = beamY + (up ? 1 : -1) * (beam * step * 0.7 + thick);
        drawing.push({ kind: 'line', x1, y1: y, x2, y2: y, pen: 'ink' });
      }
    }
  }
  return drawing;
}

function drawHeads(chord: Chord, x: number, yOf: (step: number) => number, step: number): Instruction[] {
  const drawing: Instruction[] = [];
  for (const head of chord.heads) {
    const y = yOf(head.step);
    for (let ledger = -2; ledger >= head.step; ledger -= 2) drawing.push(ledgerLine(x, yOf(ledger), step));
    for (let ledger = 10; ledger <= head.step; ledger += 2) drawing.push(ledgerLine(x, yOf(ledger), step));
    drawing.push(glyph(GLYPHS[chord.value.head], x, y, step, 'middle'));
    if (head.sign !== null) drawing.push(glyph(ACCIDENTALS[head.sign], x - step * 1.25, y, step, 'middle'));
    if (chord.value.dotted) {
      drawing.push(glyph(GLYPHS.dot, x + step, y - (head.step % 2 === 0 ? step / 2 : 0), step, 'start'));
    }
  }
  return drawing;
}

function ledgerLine(x: number, y: number, step: number): Instruction {
  return { kind: 'line', x1: x - step * 0.95, y1: y, x2: x + step * 0.95, y2: y, pen: 'ink' };
}
