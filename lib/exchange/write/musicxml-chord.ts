import { parseChord } from '../../theory';
import { element, textElement } from './xml';

/** Kinds of MusicXML 4.0 (kind-value of its schema) by what stands after a chord's root. Common practice for the symbols. */
const KINDS: Readonly<Record<string, string>> = {
  '': 'major',
  M: 'major',
  maj: 'major',
  m: 'minor',
  min: 'minor',
  '-': 'minor',
  aug: 'augmented',
  '+': 'augmented',
  dim: 'diminished',
  o: 'diminished',
  '7': 'dominant',
  maj7: 'major-seventh',
  M7: 'major-seventh',
  m7: 'minor-seventh',
  dim7: 'diminished-seventh',
  o7: 'diminished-seventh',
  '7#5': 'augmented-seventh',
  m7b5: 'half-diminished',
  mM7: 'major-minor',
  '6': 'major-sixth',
  m6: 'minor-sixth',
  '9': 'dominant-ninth',
  maj9: 'major-ninth',
  m9: 'minor-ninth',
  '11': 'dominant-11th',
  maj11: 'major-11th',
  m11: 'minor-11th',
  '13': 'dominant-13th',
  maj13: 'major-13th',
  m13: 'minor-13th',
  sus2: 'suspended-second',
  sus4: 'suspended-fourth',
  sus: 'suspended-fourth',
  '5': 'power',
};

const note = (what: 'root' | 'bass', name: string): string => {
  const alter = [...name.slice(1)].reduce((sum, sign) => sum + (sign === '#' ? 1 : -1), 0);
  return element(
    what,
    {},
    textElement(`${what}-step`, name.charAt(0)),
    alter === 0 ? '' : textElement(`${what}-alter`, alter),
  );
};

/** A chord symbol as a `harmony` element; null where it is none that anybody can read. */
export function harmonyOf(symbol: string): string | null {
  const plain = symbol.trim().replace(/♯/g, '#').replace(/♭/g, 'b');
  if (/^n\.?\s?c\.?$/i.test(plain))
    return element('harmony', {}, note('root', 'C'), textElement('kind', 'none', { text: plain }));
  const chord = parseChord(symbol);
  const match = /^\(?([A-G](?:##|bb|#|b)?)([^/]*?)(?:\/([A-G](?:#|b)?))?\)?$/.exec(plain);
  const [, root = '', suffix = '', bass] = match ?? [];
  if (chord === null || root === '') return null;
  return element(
    'harmony',
    {},
    note('root', root),
    textElement('kind', KINDS[suffix] ?? 'other', { text: suffix }),
    bass === undefined ? '' : note('bass', bass),
  );
}
