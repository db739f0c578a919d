import type { Drawing, Face, Instruction } from '../drawing';
import type { Measure } from './types';

/** A stretch of text in one face. */
export interface Run {
  readonly text: string;
  readonly face: Face;
}

export interface Paragraph {
  readonly runs: readonly Run[];
  readonly size: number;
  /** Baseline to baseline, in sizes. */
  readonly leading: number;
  readonly tone: 'ink' | 'quiet';
  /** Stands before the first line, which with all others begins to its right. */
  readonly label: string | null;
  readonly indent: number;
}

/** What stands at the end of a text that was cut. */
const CUT = '…';

/** As much of a text as goes into a width, with a mark where it was cut. */
export function shortened(text: string, room: number, size: number, face: Face, measure: Measure): string {
  if (measure(text, size, face) <= room) return text;
  const signs = [...text];
  let low = 0;
  let high = signs.length;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (measure(signs.slice(0, middle).join('').trimEnd() + CUT, size, face) <= room) low = middle;
    else high = middle - 1;
  }
  return signs.slice(0, low).join('').trimEnd() + CUT;
}

/** A word that is longer than a line, in pieces that go into one. */
function piecesOf(word: string, room: number, widthOf: (text: string) => number): readonly string[] {
  if (widthOf(word.trimEnd()) <= room) return [word];
  const pieces: string[] = [];
  let piece = '';
  for (const sign of word) {
    if (piece !== '' && widthOf(piece + sign) > room) {
      pieces.push(piece);
      piece = '';
    }
    piece += sign;
  }
  return [...pieces, piece];
}

/** Behind a space, but for those that hold together what stands about them. Source: Unicode Standard Annex 14, class GL. */
const MAY_BREAK = /(?<=[^\S\u00a0\u202f])/;

/** A text broken into lines of a width, greedily: as many words in each as go. A word that is longer than a line is broken. */
export function layText(
  { runs, size, leading, tone, label, indent }: Paragraph,
  width: number,
  measure: Measure,
): { readonly drawing: Drawing; readonly height: number } {
  const words = runs.flatMap(({ text, face }) =>
    text
      .split(MAY_BREAK)
      .flatMap((word) => piecesOf(word, width - indent, (piece) => measure(piece, size, face)))
      .map((word) => ({ word, face, width: measure(word, size, face) })),
  );
  const drawing: Instruction[] = [];
  const step = size * leading;
  let x = indent;
  let line = 0;
  const baseline = () => line * step + size;
  const put = (at: number, text: string, face: Face) =>
    drawing.push({ kind: 'text', x: at, y: baseline(), text, size, anchor: 'start', face, tone, clear: 0 });
  if (label !== null) put(0, label, 'plain');
  let pending = { from: x, text: '', face: words[0]?.face ?? ('plain' as Face) };
  const flush = () => {
    if (pending.text.trim() !== '') put(pending.from, pending.text.trimEnd(), pending.face);
  };
  for (const { word, face, width: wide } of words) {
    if (x > indent && x + measure(word.trimEnd(), size, face) > width) {
      flush();
      line += 1;
      x = indent;
      pending = { from: x, text: '', face };
    } else if (face !== pending.face) {
      flush();
      pending = { from: x, text: '', face };
    }
    pending = { ...pending, text: pending.text + word };
    x += wide;
  }
  flush();
  return { drawing, height: (line + 1) * step };
}

/** A drawing moved. */
export const moved = (drawing: Drawing, dx: number, dy: number): Drawing =>
  drawing.map((one) => movedOne(one, dx, dy));

function movedOne(one: Instruction, dx: number, dy: number): Instruction {
  switch (one.kind) {
    case 'line':
      return { ...one, x1: one.x1 + dx, x2: one.x2 + dx, y1: one.y1 + dy, y2: one.y2 + dy };
    case 'arc':
      return { ...one, x1: one.x1 + dx, x2: one.x2 + dx, y: one.y + dy };
    case 'text':
      return { ...one, x: one.x + dx, y: one.y + dy };
  }
}

/** A drawing made larger or smaller about 0, 0. */
export const scaled = (drawing: Drawing, by: number): Drawing =>
  by === 1 ? drawing : drawing.map((one) => scaledOne(one, by));

function scaledOne(one: Instruction, by: number): Instruction {
  switch (one.kind) {
    case 'line':
      return { ...one, x1: one.x1 * by, x2: one.x2 * by, y1: one.y1 * by, y2: one.y2 * by };
    case 'arc':
      return { ...one, x1: one.x1 * by, x2: one.x2 * by, y: one.y * by, height: one.height * by };
    case 'text':
      return { ...one, x: one.x * by, y: one.y * by, size: one.size * by, clear: one.clear * by };
  }
}
