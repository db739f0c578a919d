import { parseChord } from '../theory';
import { child, childrenOf, numberOf, textOf, type XmlElement } from './xml-tree';

/** Chord symbols for the kinds that MusicXML 4.0 lists (kind-value of its schema). Common practice for the symbols. */
const SUFFIXES: Readonly<Record<string, string>> = {
  major: '',
  minor: 'm',
  augmented: 'aug',
  diminished: 'dim',
  dominant: '7',
  'major-seventh': 'maj7',
  'minor-seventh': 'm7',
  'diminished-seventh': 'dim7',
  'augmented-seventh': '7#5',
  'half-diminished': 'm7b5',
  'major-minor': 'mM7',
  'major-sixth': '6',
  'minor-sixth': 'm6',
  'dominant-ninth': '9',
  'major-ninth': 'maj9',
  'minor-ninth': 'm9',
  'dominant-11th': '11',
  'major-11th': 'maj11',
  'minor-11th': 'm11',
  'dominant-13th': '13',
  'major-13th': 'maj13',
  'minor-13th': 'm13',
  'suspended-second': 'sus2',
  'suspended-fourth': 'sus4',
  power: '5',
};

const ACCIDENTALS: Readonly<Record<string, string>> = { '-2': 'bb', '-1': 'b', '0': '', '1': '#', '2': '##' };

/**
 * The chord symbol of a `harmony` element: root, kind, added, altered and omitted degrees, bass. A kind that no symbol stands for is taken as
 * its own text says. Null where it has no root by letter (functions, numerals).
 */
export function chordSymbolOf(harmony: XmlElement): string | null {
  const kind = child(harmony, 'kind');
  const value = kind?.text.trim() ?? '';
  if (value === 'none') return 'N.C.';
  const root = noteName(child(harmony, 'root'), 'root');
  if (root === null) return null;
  const said = (kind?.attributes.text ?? '').trim();
  const bass = noteName(child(harmony, 'bass'), 'bass');
  const over = bass === null || bass === root ? '' : `/${bass}`;
  const known = SUFFIXES[value];
  const degrees = known === undefined && said !== '' ? '' : degreesOf(harmony);
  const suspended = known?.startsWith('sus') && degrees === 'add7';
  const suffix = suspended ? `7${known}` : (known ?? said) + degrees;
  const symbol = root + suffix + over;
  // Where the degrees make a symbol that nobody can read, the file's own way of writing it may be read.
  const written = root + said + over;
  return parseChord(symbol) === null && said !== '' && parseChord(written) !== null ? written : symbol;
}

function noteName(element: XmlElement | null, what: 'root' | 'bass'): string | null {
  const step = textOf(element, `${what}-step`);
  if (step === null || !/^[A-G]$/.test(step)) return null;
  return step + (ACCIDENTALS[String(Math.round(numberOf(element, `${what}-alter`) ?? 0))] ?? '');
}

function degreesOf(harmony: XmlElement): string {
  return childrenOf(harmony, 'degree')
    .map((degree) => {
      const value = numberOf(degree, 'degree-value') ?? 0;
      const alter = ACCIDENTALS[String(Math.round(numberOf(degree, 'degree-alter') ?? 0))] ?? '';
      const type = textOf(degree, 'degree-type');
      if (type === 'subtract') return `no${value}`;
      if (type === 'alter' || alter !== '') return `${alter}${value}`;

      return `add${value}`;
    })
    .join('');
}
