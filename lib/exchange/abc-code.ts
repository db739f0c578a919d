import type AbcjsParse from 'abcjs/src/parse/abc_parse.js';
import type { AbcjsElement } from 'abcjs/src/parse/abc_parse.js';
import { itemAt } from '../base';
import type { ScannedTune, VoiceText } from './abc-types';
import type { Findings } from './report';

export type Parser = typeof AbcjsParse;

/** A voice's music code, read by abcjs: notes, rests and barlines in the file's order. */
export interface VoiceCode {
  readonly elements: readonly AbcjsElement[];
  /** What abcjs was given; its places count in it. */
  readonly code: string;
  /** The place in the file of a place in the code. */
  placeOf(index: number): number;
  readonly warnings: readonly { readonly at: number; readonly text: string }[];
}

/**
 * Has abcjs read one voice alone, as a plain tune in C: fields, words and chord symbols are no part of the code it is given, so that
 * nothing depends on how it lays voices into staves.
 */
export function parseVoice(
  tune: ScannedTune,
  voice: VoiceText,
  Parse: Parser,
  findings: Findings,
): VoiceCode {
  const head = `X:1\nL:1/${Math.round(1 / tune.unit) || 8}\nK:C\n`;
  const unitLine = Number.isInteger(1 / tune.unit) ? '' : `L:${fractionOf(tune.unit)}\n`;
  const starts: number[] = [];
  const places: (number | null)[] = [];
  let code = head + unitLine;
  for (const piece of voice.pieces) {
    for (const { from, text } of piece.at === null
      ? [{ from: 0, text: piece.text }]
      : shortPieces(piece.text)) {
      starts.push(code.length);
      places.push(piece.at === null ? null : piece.at + from - 1);
      code += piece.at === null ? `${text}\n` : ` ${text}\n`;
    }
  }
  const placeOf = (index: number): number => {
    let low = 0;
    let high = starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (itemAt(starts, middle) <= index) low = middle;
      else high = middle - 1;
    }
    return (places[low] ?? 0) + index - (starts[low] ?? 0);
  };
  const elements: AbcjsElement[] = [];
  const warnings: { at: number; text: string }[] = [];
  try {
    const parser = new Parse();
    parser.parse(code, {}, 0);
    for (const line of parser.getTune().lines) {
      for (const staff of line.staff ?? []) {
        for (const elementsOfVoice of staff.voices) {
          for (const element of elementsOfVoice)
            if (element.el_type === 'note' || element.el_type === 'bar') elements.push(element);
        }
      }
    }
    for (const warning of parser.getWarningObjects() ?? []) {
      const text = sayWarning(warning.message, code.charAt(warning.startChar));
      if (text !== null) warnings.push({ at: placeOf(warning.startChar), text });
    }
  } catch {
    findings.leftOut(`the music of voice ${voice.id}: its code cannot be read`, places[0] ?? tune.at);
    new Parse().parse('X:1\nK:C\nC|\n', {}, 0);
  }
  return { elements, code, placeOf, warnings };
}

/** abcjs takes time with the square of a line's length, so that long lines are handed to it in pieces. */
const LONG_LINE = 800;

function* shortPieces(text: string): Iterable<{ readonly from: number; readonly text: string }> {
  let from = 0;
  while (text.length - from > LONG_LINE) {
    const to = from + breakBefore(text.slice(from, from + LONG_LINE));
    yield { from, text: text.slice(from, to) };
    from = to;
  }
  yield { from, text: text.slice(from) };
}

/** A place late in the text between two notes or after a barline: not inside grace notes or a chord. */
function breakBefore(text: string): number {
  for (let i = text.length - 2; i > text.length / 2; i--) {
    if (/\s/.test(text.charAt(i)) && /[A-Ga-gzx0-9|,'/\s]/.test(text.charAt(i - 1))) return i;
    if (text.charAt(i) === '|' && /[A-Ga-gzxZ(^_=\s]/.test(text.charAt(i + 1))) return i + 1;
  }
  return text.length;
}

function fractionOf(unit: number): string {
  for (let under = 1; under <= 64; under++) {
    const over = unit * under;
    if (Math.abs(over - Math.round(over)) < 1e-9) return `${Math.round(over)}/${under}`;
  }
  return '1/8';
}

function sayWarning(message: string, sign: string): string | null {
  if (message.startsWith('Unknown character')) return `a sign that music does not use: "${sign}"`;
  if (message.startsWith('Unknown bar')) return 'a barline that ABC does not know';
  if (message.startsWith("Expected ']'")) return 'a chord in brackets that is not closed';
  if (message.startsWith("Can't nest")) return 'a tuplet inside a tuplet';
  return null;
}
