import { fail, type Problem } from '../base';

/** Song files beyond this many characters are not read: a long song has some ten thousand. */
export const MOST_CHARACTERS = 2_000_000;

/** One tune of a file as lines of text, with its offsets in the whole. */
export interface TuneText {
  /** Of the tune's first line. */
  readonly at: number;
  readonly lines: readonly TextLine[];
  /** `X:` as written; null where the tune has none. */
  readonly number: string | null;
  readonly title: string | null;
}

export interface TextLine {
  readonly at: number;
  readonly text: string;
}

export interface BookText {
  /** Fields and directives before the first tune: they hold for all of them. */
  readonly header: readonly TextLine[];
  readonly tunes: readonly TuneText[];
  /** Stretches of text between tunes that were not taken as music. */
  readonly between: readonly TextLine[];
  /** Lines that stand after an empty line, but are plainly music of the tune before it. */
  readonly rejoined: readonly TextLine[];
}

/** One kind of line end, no byte order mark: line and column stay what they are in the file. */
export function plainText(text: string): string {
  return text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n');
}

/** Why a text cannot be read at all, whatever it should be; null where it may be read. */
export function unreadable(text: string): Problem | null {
  if (text.length > MOST_CHARACTERS) {
    return fail(
      `the text has ${text.length} characters; at most ${MOST_CHARACTERS} are read`,
      'the whole file',
      'keep one song in a file, and check that it is the right file',
    ).error;
  }
  if (text.trim() === '')
    return fail('there is nothing in it', 'the whole file', 'choose the file again, or paste the song').error;
  const junk = binaryAt(text);
  if (junk !== null) {
    return fail(
      'this is not text',
      `character ${junk + 1}`,
      'choose a text file; a scan, a recording or a document of a word processor cannot be read as ABC',
    ).error;
  }
  return null;
}

/** The first sign of binary data: a null, or a text with more than one control or broken sign in fifty. */
function binaryAt(text: string): number | null {
  let first = -1;
  let count = 0;
  const length = Math.min(text.length, 100_000);
  for (let i = 0; i < length; i++) {
    const code = text.charCodeAt(i);
    if (code === 0) return i;
    const odd = (code < 32 && code !== 9 && code !== 10 && code !== 12 && code !== 13) || code === 0xfffd;
    if (!odd) continue;
    if (first < 0) first = i;
    count += 1;
  }
  return count * 50 > length ? first : null;
}

/** Whether a text is meant as ABC: it has a line that starts a tune or ends a tune's header. */
export function looksLikeAbc(text: string): boolean {
  return /^[ \t]*(?:X:[ \t]*\d|K:[ \t]*(?:[A-G]|none|HP|Hp|$))/m.test(text);
}

const FIELD = /^[A-Za-z+]:/;
/** Music has barlines; words of a song and fields of voices belong to a tune as well. */
const PLAINLY_MUSIC = /^(?:\[?[VwK]:|[^%]*[A-Ga-gz][^%]*\|)/;

/**
 * The tunes of a text. A tune starts at `X:` and ends at an empty line; what follows it is free text, except where it is plainly
 * music, since empty lines between the lines of a tune are a common slip. Source: ABC standard 2.1, section 2.2.
 */
export function splitBook(text: string): BookText {
  const header: TextLine[] = [];
  const between: TextLine[] = [];
  const rejoined: TextLine[] = [];
  const tunes: { at: number; lines: TextLine[] }[] = [];
  const starts = /^X:/m.test(text);
  let afterEmpty = false;

  for (const line of linesOf(text)) {
    const empty = line.text.trim() === '';
    const tune = tunes[tunes.length - 1];
    if (starts ? line.text.startsWith('X:') : tunes.length === 0 && FIELD.test(line.text)) {
      tunes.push({ at: line.at, lines: [line] });
      afterEmpty = false;
    } else if (!tune) {
      if (FIELD.test(line.text) || line.text.startsWith('%%')) header.push(line);
      else if (!empty && !line.text.startsWith('%')) between.push(line);
    } else if (empty) {
      afterEmpty = true;
    } else if (!afterEmpty) {
      tune.lines.push(line);
    } else if (PLAINLY_MUSIC.test(line.text)) {
      afterEmpty = false;
      rejoined.push(line);
      tune.lines.push(line);
    } else if (!line.text.startsWith('%')) {
      between.push(line);
    }
  }
  return {
    header,
    between,
    rejoined,
    tunes: tunes.map(({ at, lines }) => ({
      at,
      lines,
      number: fieldText(lines, 'X'),
      title: fieldText(lines, 'T'),
    })),
  };
}

function fieldText(lines: readonly TextLine[], letter: string): string | null {
  const line = lines.find(({ text }) => text.startsWith(`${letter}:`));
  return line ? decodeText(withoutComment(line.text).slice(2).trim()) : null;
}

function* linesOf(text: string): Iterable<TextLine> {
  let at = 0;
  while (at <= text.length) {
    const end = text.indexOf('\n', at);
    const stop = end < 0 ? text.length : end;
    yield { at, text: text.slice(at, stop) };
    at = stop + 1;
  }
}

/** A line up to its comment; `\%` is a percent sign and no comment. */
export function withoutComment(line: string): string {
  for (let at = line.indexOf('%'); at >= 0; at = line.indexOf('%', at + 1)) {
    if (line.charAt(at - 1) !== '\\') return line.slice(0, at);
  }
  return line;
}

/** Combining signs of the text mnemonics: `\'e`, `\"u`, `\,c`. */
const MNEMONICS: Readonly<Record<string, string>> = {
  '`': '\u0300',
  "'": '\u0301',
  '^': '\u0302',
  '~': '\u0303',
  '"': '\u0308',
  ',': '\u0327',
  u: '\u0306',
  v: '\u030c',
  '=': '\u0304',
};
const ENTITIES: Readonly<Record<string, string>> = {
  grave: '\u0300',
  acute: '\u0301',
  circ: '\u0302',
  tilde: '\u0303',
  uml: '\u0308',
  cedil: '\u0327',
  caron: '\u030c',
  ring: '\u030a',
};
const NAMED: Readonly<Record<string, string>> = {
  amp: '&',
  quot: '"',
  apos: "'",
  nbsp: ' ',
  lt: '<',
  gt: '>',
};
const PLAIN: Readonly<Record<string, string>> = {
  ae: 'æ',
  AE: 'Æ',
  oe: 'œ',
  OE: 'Œ',
  ss: 'ß',
  aa: 'å',
  AA: 'Å',
  '/o': 'ø',
  '/O': 'Ø',
};

/** Text strings of ABC: mnemonics, entities and code points to letters. Source: ABC standard 2.1, section 8.2. */
export function decodeText(text: string): string {
  if (!text.includes('\\') && !text.includes('&')) return text;
  return text
    .replace(/\\u([0-9A-Fa-f]{4})/g, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)))
    .replace(/\\(ae|AE|oe|OE|ss|aa|AA|\/o|\/O)/g, (_, name: string) => PLAIN[name] ?? name)
    .replace(/\\([`'^~",uv=])([A-Za-z])/g, (_, sign: string, letter: string) =>
      (letter + (MNEMONICS[sign] ?? '')).normalize('NFC'),
    )
    .replace(
      /&([A-Za-z])(grave|acute|circ|tilde|uml|cedil|caron|ring);/g,
      (_, letter: string, sign: string) => (letter + (ENTITIES[sign] ?? '')).normalize('NFC'),
    )
    .replace(/&(amp|quot|apos|nbsp|lt|gt);/g, (_, name: string) => NAMED[name] ?? '')
    .replace(/\\([%&\\])/g, '$1');
}
