import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { create, type Font } from 'fontkit';
import type { Face } from '../../lib/parts';
import { unpackWoff } from './sfnt';

const require = createRequire(import.meta.url);

/** Subsets of a family, in the order in which a sign is looked for in them. */
const SCRIPTS = [
  'latin',
  'latin-ext',
  'cyrillic',
  'cyrillic-ext',
  'greek',
  'greek-ext',
  'vietnamese',
] as const;

const FAMILIES: Readonly<Record<Exclude<Face, 'music'>, readonly [string, string]>> = {
  words: ['literata', '400-normal'],
  italic: ['literata', '400-italic'],
  plain: ['source-sans-3', '400-normal'],
  strong: ['source-sans-3', '600-normal'],
};

/** Signs that text faces seldom have, and the music face always. Source: SMuFL 1.4, from memory. */
const MUSIC_SIGNS: Readonly<Record<string, string>> = {
  '♯': '\u{E262}',
  '♭': '\u{E260}',
  '♮': '\u{E261}',
  '♩': '\u{ECA5}',
  '♪': '\u{ECA7}',
};

/**
 * In the music face accidentals are as large as a staff wants them, about their middle: beside letters they stand higher and larger, in ems.
 * By eye.
 */
const BESIDE_LETTERS = { grow: 1.3, raise: 0.26 } as const;
const AS_IT_IS = { grow: 1, raise: 0 } as const;
/** Raised figures, which text faces seldom have all of: the face's own, smaller and higher, in ems. By eye. */
const RAISED = '⁰¹²³⁴⁵⁶⁷⁸⁹';
const RAISED_FIGURE = { grow: 0.66, raise: 0.32 } as const;
const ACCIDENTALS: ReadonlySet<string> = new Set(['♯', '♭', '♮']);

export interface FontFile {
  readonly bytes: Buffer;
  readonly font: Font;
}

const files = new Map<string, FontFile | null>();

/** A font file of a package; null where the family has no such subset. */
function opened(name: string): FontFile | null {
  const known = files.get(name);
  if (known !== undefined) return known;
  let opening: FontFile | null = null;
  try {
    const bytes = unpackWoff(readFileSync(require.resolve(name)));
    const font = create(bytes);
    if ('glyphForCodePoint' in font) opening = { bytes, font };
  } catch {
    // A family need not have every script.
  }
  files.set(name, opening);
  return opening;
}

const music = (): FontFile | null => opened('@vexflow-fonts/bravura/bravura.otf');

/** What is remembered of signs and texts, so that a long book does not fill the memory. */
const MOST_REMEMBERED = 20_000;

interface Found {
  readonly file: FontFile;
  readonly sign: string;
  /** How much larger it is drawn than what stands beside it, and how far above the baseline, in ems. */
  readonly grow: number;
  readonly raise: number;
}

const found = new Map<string, Found | null>();

/** The font that has a sign in a face, and the sign as it is there; null where none has it. */
export function fontFor(sign: string, face: Face): Found | null {
  const key = `${face} ${sign}`;
  let known = found.get(key);
  if (known === undefined) {
    known = lookFor(sign, face);
    if (found.size < MOST_REMEMBERED) found.set(key, known);
  }
  return known;
}

function lookFor(sign: string, face: Face): Found | null {
  const point = sign.codePointAt(0) ?? 0;
  const figure = RAISED.indexOf(sign);
  if (figure >= 0) {
    const plain = lookFor(String(figure), face === 'music' ? 'plain' : face);
    return plain && { ...plain, ...RAISED_FIGURE };
  }
  if (face !== 'music') {
    const [family, style] = FAMILIES[face];
    for (const script of SCRIPTS) {
      const file = opened(`@fontsource/${family}/files/${family}-${script}-${style}.woff`);
      if (file?.font.hasGlyphForCodePoint(point)) return { file, sign, ...AS_IT_IS };
    }
  }
  const file = music();
  const drawn = MUSIC_SIGNS[sign] ?? sign;
  return file?.font.hasGlyphForCodePoint(drawn.codePointAt(0) ?? 0)
    ? { file, sign: drawn, ...(ACCIDENTALS.has(sign) && face !== 'music' ? BESIDE_LETTERS : AS_IT_IS) }
    : null;
}

/** A stretch of a text in one font. */
export interface FontRun {
  readonly file: FontFile;
  readonly text: string;
  readonly grow: number;
  readonly raise: number;
}

/** What stands for a sign that no font here has. */
const MISSING = '?';
/** What is not to be seen in any font: marks of direction and joining, which come along with what is pasted. */
const UNSEEN = /\p{Default_Ignorable_Code_Point}/u;
const CONTROL = /\p{Cc}/u;

/**
 * A text cut into runs of one font each. Signs that no font has are given to `missing` and drawn as a question mark;
 * marks of width (spaces of all kinds, ends of lines) are plain spaces where a font lacks them, and what cannot be seen is left out.
 */
export function runsOf(text: string, face: Face, missing: (sign: string) => void): readonly FontRun[] {
  const runs: { file: FontFile; text: string; grow: number; raise: number }[] = [];
  for (const written of text.normalize('NFC')) {
    const isSpace = /\s/u.test(written);
    const isControl = CONTROL.test(written);
    if (UNSEEN.test(written) || (isControl && !isSpace)) continue;
    const sign = isControl ? ' ' : written;
    let known = fontFor(sign, face);
    if (known === null && isSpace) known = fontFor(' ', face);
    if (known === null) {
      missing(sign);
      known = fontFor(MISSING, face === 'music' ? 'plain' : face);
    }
    if (known === null) continue;
    const last = runs[runs.length - 1];
    const { file, grow, raise } = known;
    if (last && last.file === file && last.grow === grow && last.raise === raise) last.text += known.sign;
    else runs.push({ file, text: known.sign, grow, raise });
  }
  return runs;
}

/** Widths in ems by font and text: a part says the same words over and over. */
const widths = new Map<FontFile, Map<string, number>>();

export function widthOf({ file, text, grow }: FontRun, size: number): number {
  let known = widths.get(file);
  if (known === undefined || known.size > MOST_REMEMBERED) {
    known = new Map();
    widths.set(file, known);
  }
  let ems = known.get(text);
  if (ems === undefined) {
    ems = file.font.layout(text).advanceWidth / file.font.unitsPerEm;
    known.set(text, ems);
  }
  return ems * size * grow;
}
