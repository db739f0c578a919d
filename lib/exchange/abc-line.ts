import { decodeText } from './abc-text';
import type { Mark } from './abc-types';
import type { Findings } from './report';

export interface InlineField {
  readonly letter: string;
  readonly text: string;
  readonly at: number;
}

/** Takes what a line of music holds, in its order. */
export interface LineSink {
  /** Music code from a place on, all else blanked. */
  piece(at: number, code: string): void;
  mark(mark: Mark): void;
  field(field: InlineField): void;
}

const BREATHS = new Set(['breath', 'shortphrase', 'mediumphrase', 'longphrase', 'caesura']);
const FERMATAS = new Set(['fermata', 'invertedfermata']);
/** The shorthand signs that ABC predefines. Source: ABC standard 2.1, section 4.14. */
const SHORTHAND: Readonly<Record<string, string>> = { H: 'fermata' };

/**
 * Sorts a line of music: chord symbols, annotations, decorations and inline fields out of it, the code itself on. Each is blanked in
 * the code, so that every place keeps its column.
 */
export function blankMusic(
  line: string,
  at: number,
  symbols: ReadonlyMap<string, string>,
  findings: Findings,
  sink: LineSink,
): void {
  const text = plainSigns(line, at, sink);
  const code = [...new Array<string>(text.length).fill(' ')];
  let pieceFrom = 0;
  let overlay = false;
  const flush = (to: number) => {
    sink.piece(at + pieceFrom, code.slice(pieceFrom, to).join(''));
    pieceFrom = to;
  };
  let i = 0;
  while (i < text.length) {
    const sign = text.charAt(i);
    const rest = text.slice(i, i + 400);
    const length = taken(sign, rest);
    if (length > 0) {
      if (sign === '"') {
        if (!overlay) quoted(rest.slice(1, length - 1), at + i, findings, sink);
      } else if (sign === '[') {
        const letter = text.charAt(i + 1);
        const value = rest.slice(3, length - 1);
        if (letter === 'L') for (let k = 0; k < length; k++) code[i + k] = text.charAt(i + k);
        else if (letter === 'V') {
          flush(i);
          pieceFrom = i + length;
          overlay = false;
        }
        if ('KMQPVI'.includes(letter)) sink.field({ letter, text: value, at: at + i + 3 });
        else if (!'LrN'.includes(letter)) findings.leftOut(`an inline field (${letter}:)`, at + i);
      } else if (!overlay) decoration(rest.slice(1, length - 1), at + i, findings, sink);
      i += length;
      continue;
    }
    const symbol = symbols.get(sign) ?? SHORTHAND[sign];
    if (sign === '&') {
      if (!overlay)
        findings.leftOut('a second voice written over the same bar (&): its notes are not read', at + i);
      overlay = true;
    } else if (sign === '|' || (sign === ':' && overlay && text.charAt(i + 1) === '|')) overlay = false;
    if (overlay) {
      i += 1;
      continue;
    }
    if (symbol !== undefined) decoration(symbol, at + i, findings, sink);
    else if (sign === '"') findings.leftOut('a quote that is not closed', at + i);
    else if (sign !== '!' && sign !== '$' && sign !== '\\' && sign !== '&' && sign !== '`') code[i] = sign;
    i += 1;
  }
  flush(text.length);
}

/**
 * The same line with signs that abcjs does not read as the standard has them put into ones that it does, each in its place:
 * `::|` (three times) to `:|` and a mark, `:|:` to `::`, and a broken rhythm before the grace notes that it passes over.
 */
function plainSigns(line: string, at: number, sink: LineSink): string {
  return line
    .replace(/:{2,9}(?=\|(?!:))/g, (colons, index: number) => {
      sink.mark({ kind: 'times', at: at + index, times: colons.length + 1 });
      return `${' '.repeat(colons.length - 1)}:`;
    })
    .replace(/:\|:+/g, (signs) => `::${' '.repeat(signs.length - 2)}`)
    .replace(/(\{[^{}"!|]{0,60}\})(\s{0,8})([<>]{1,4})/g, '$3$1$2');
}

/** How many signs from here are not code: a quoted text, a decoration, an inline field; 0 where it is code. */
function taken(sign: string, rest: string): number {
  if (sign === '"') {
    const close = rest.indexOf('"', 1);
    return close < 0 ? 0 : close + 1;
  }
  if (sign === '!') return /^![^!\s"|[\]]{1,60}!/.exec(rest)?.[0].length ?? 0;
  if (sign === '+') return /^\+[a-z.]{1,30}\+/.exec(rest)?.[0].length ?? 0;
  if (sign === '[') return /^\[[A-Za-z]:[^\]]*\]/.exec(rest)?.[0].length ?? 0;
  return 0;
}

function quoted(text: string, at: number, findings: Findings, sink: LineSink): void {
  if (/^[\^_<>@]/.test(text)) {
    findings.leftOutEach('a text annotation', (n) => `${n} text annotations`, at);
    return;
  }
  const symbol = decodeText(text).trim();
  if (symbol === '') return;
  if (symbol.length > 60) findings.leftOut('a chord symbol of more than 60 signs', at);
  else sink.mark({ kind: 'chord', at, symbol });
}

function decoration(name: string, at: number, findings: Findings, sink: LineSink): void {
  if (FERMATAS.has(name)) sink.mark({ kind: 'fermata', at });
  else if (BREATHS.has(name)) sink.mark({ kind: 'breath', at });
  else findings.leftOutEach(`a decoration (${name})`, (n) => `${n} decorations (${name})`, at);
}

/** A line of music has a barline, or hardly any letters that music code does not use. */
export function isMusic(text: string): boolean {
  const code = text.replace(/"[^"]{0,400}"|![^!]{0,60}!|\[[A-Za-z]:[^\]]{0,400}\]/g, '');
  if (/[|\]]/.test(code)) return (code.match(/[A-Za-z]{9,}/g) ?? []).every((run) => !/[h-tw]/.test(run));
  const letters = code.match(/[A-Za-z]/g)?.length ?? 0;
  const strange = code.match(/[h-tI-KNQRWYw]/g)?.length ?? 0;
  return letters === 0 || strange * 6 <= letters;
}
