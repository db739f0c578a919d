import { Note } from 'tonal';
import { itemAt } from '../base';
import { parseChord } from './chord';
import type { Key } from './key';
import { pitchClassOf } from './pitch';

/** Semitones of the major scale's seven degrees above its tonic. */
const MAJOR = [0, 2, 4, 5, 7, 9, 11] as const;
const LETTERS = 'CDEFGAB';
const RAISED = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/** Where a root is spelled more than one accidental away from its degree, it is named as bands hear it. Common practice, no source. */
const HEARD: readonly string[] = ['1', '♭2', '2', '♭3', '3', '4', '♯4', '5', '♭6', '6', '♭7', '7'];

/**
 * What a chord's letters come to in number writing: the first that fits. The rest of a symbol stands raised, so that a
 * seventh is never read as the seventh degree.
 */
const QUALITIES: readonly (readonly [RegExp, string])[] = [
  // Common practice, no source: a minor chord has a dash, which stays apart from the figure when it is written quickly and read from
  // afar; an `m` is taken for `maj`.
  [/^(?:m|min|-)7(?:b5|\(b5\))$/, 'ø'],
  [/^ø7?$/, 'ø'],
  [/^(?:maj|M|Δ)(?=\d|$)/, 'maj'],
  [/^(?:min|mi|m|-)(?!aj)/, '-'],
  // Common practice, no source: signs of chord symbols for diminished and augmented.
  [/^(?:dim|o|°)/, '°'],
  [/^(?:aug|\+)/, '+'],
];

/**
 * A chord by scale degree, in the trade's number writing: `1`, `4`, `5⁷`, `2-`, `♭7`, `5/7`. Degrees count from the key's own tonic, by the
 * steps of the major scale whatever the mode is: home is 1 in a minor key too (`1-`), and the chord a third above it `♭3`; so a figure
 * says the same distance in every key. What stands after a slash is the degree of the bass. Null where the symbol cannot be read.
 *
 * Common practice, no source: numbers for chords; minor as a dash.
 */
export function degreeOf(symbol: string, key: Key): string | null {
  const chord = parseChord(symbol);
  if (chord === null) return null;
  const plain = symbol.trim().replace(/♯/g, '#').replace(/♭/g, 'b').replace(/[()]/g, '');
  const [, root = '', bass] = /^([A-G](?:##|bb|#|b)?)[^/]*?(?:\/([A-G](?:#|b)?))?$/.exec(plain) ?? [];
  const low = bass === undefined || chord.bass === chord.root ? '' : `/${numberOf(bass, key)}`;
  return `${numberOf(root, key)}${qualityOf(chord.suffix)}${low}`;
}

function numberOf(name: string, key: Key): string {
  const step = (LETTERS.indexOf(name.charAt(0)) - LETTERS.indexOf(key.tonic.charAt(0)) + 7) % 7;
  const above = pitchClassOf((Note.chroma(name) ?? 0) - (Note.chroma(key.tonic) ?? 0));
  const away = pitchClassOf(above - itemAt(MAJOR, step) + 1) - 1;
  const sign = { '-1': '♭', 0: '', 1: '♯' }[away];
  return sign === undefined ? itemAt(HEARD, above) : `${sign}${step + 1}`;
}

function qualityOf(suffix: string): string {
  const found = QUALITIES.find(([letters]) => letters.test(suffix));
  const [sign, rest] = found ? [found[1], suffix.replace(found[0], '')] : ['', suffix];
  const raised = rest
    .replace(/b(?=\d)/g, '♭')
    .replace(/#(?=\d)/g, '♯')
    .replace(/\d/g, (figure) => RAISED.charAt(Number(figure)));
  return sign + raised;
}
