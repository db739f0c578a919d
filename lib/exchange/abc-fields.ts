import { type Key, keySignature, parseKey } from '../theory';
import { type Meter, parseMeter } from '../time';

/** Semitones up or down from the written key, by letter. */
export type Alterations = Readonly<Record<string, number>>;

/** What a `K:` field says. */
export interface KeyField {
  /** Null where only a clef or a transposition is given. */
  readonly key: Key | null;
  readonly alterations: Alterations | null;
  /** Semitones from written to sounded; null where the field says nothing of it. */
  readonly shift: number | null;
}

const SHARPS = ['F', 'C', 'G', 'D', 'A', 'E', 'B'];

function signature(fifths: number): Record<string, number> {
  const alterations: Record<string, number> = {};
  for (let i = 0; i < Math.abs(fifths); i++) {
    const letter = SHARPS[fifths > 0 ? i % 7 : 6 - (i % 7)] ?? 'F';
    alterations[letter] = (alterations[letter] ?? 0) + Math.sign(fifths);
  }
  return alterations;
}

const SIGNS: Readonly<Record<string, number>> = { '^^': 2, '^': 1, '=': 0, _: -1, __: -2 };

/**
 * A `K:` field: tonic and mode, `exp` and added accidentals, `none`, `HP` and `Hp` (the pipes' F sharp and C sharp),
 * clef, octave and transposition. Null where its key cannot be read. Source: ABC standard 2.1, sections 3.1.14 and 4.6.
 */
export function readKey(text: string): KeyField | null {
  const shift = readShift(text);
  const rest = text.replace(/[\w-]+=(?:"[^"]*"|[^\s,]\S*)/g, ' ').trim();
  if (rest === '' && shift === null && text.trim() !== '') return { key: null, alterations: null, shift };
  if (/^none\b/i.test(rest) || rest === '')
    return { key: { tonic: 'C', mode: 'major' }, alterations: {}, shift };
  if (/^H[Pp]\b/.test(rest))
    return { key: { tonic: 'A', mode: 'mixolydian' }, alterations: { F: 1, C: 1 }, shift };

  const words = rest.split(/\s+/);
  const first = /^([A-G][#b]?)([A-Za-z]*)$/.exec(words[0] ?? '');
  const accidentals = accidentalsOf(rest);
  if (!first) {
    const known =
      /^(treble|bass|tenor|alto|perc|G2|F4|C[1-5])/.test(rest) || Object.keys(accidentals).length > 0;
    if (!known) return null;
    return { key: null, alterations: null, shift };
  }
  const tonic = first[1] ?? 'C';
  const next = words[1] ?? '';
  const modeWord = first[2]
    ? first[2]
    : /^[A-Za-z]+$/.test(next) && !CLEF_WORD.test(next)
      ? next
      : /^exp$/i.test(next)
        ? next
        : '';
  const explicit = /^exp$/i.test(modeWord);
  // Of a mode only the first three letters count; a word that is no mode and stands apart names a clef, and unknown clefs are ignored.
  const found =
    explicit || modeWord === ''
      ? parseKey(tonic)
      : (parseKey(`${tonic} ${modeWord}`) ??
        parseKey(`${tonic} ${modeWord.length > 3 ? modeWord.slice(0, 3) : 'none'}`) ??
        (first[2] ? null : parseKey(tonic)));
  if (!found) return null;
  return {
    key: found,
    alterations: { ...(explicit ? {} : signature(keySignature(found))), ...accidentals },
    shift,
  };
}

const CLEF_WORD = /^(treble|bass|tenor|alto|perc|exp$)/i;

function accidentalsOf(text: string): Record<string, number> {
  const found: Record<string, number> = {};
  for (const match of text.matchAll(/(?:^|\s)(\^\^|\^|__|_|=)([A-Ga-g])(?=\s|$)/g)) {
    found[(match[2] ?? '').toUpperCase()] = SIGNS[match[1] ?? ''] ?? 0;
  }
  return found;
}

/** Semitones from written to sounded, as clef (`treble-8`), `octave=` and `transpose=` say; null where none does. */
export function readShift(text: string): number | null {
  const clef =
    /(?:^|[\s="])(?:treble|bass|tenor|alto|perc|none|soprano|mezzosoprano|baritone|[GF]\d|C[1-5])\d?([+-])(8|15)/i.exec(
      text,
    );
  const octave = /\boctave\s*=\s*([+-]?\d{1,2})/i.exec(text);
  const transpose = /\b(?:transpose|t)\s*=\s*([+-]?\d{1,3})/i.exec(text);
  if (!clef && !octave && !transpose) return null;
  const clefOctaves = clef ? (clef[1] === '-' ? -1 : 1) * (clef[2] === '15' ? 2 : 1) : 0;
  return 12 * (clefOctaves + Number(octave?.[1] ?? 0)) + Number(transpose?.[1] ?? 0);
}

/** A `M:` field: a meter, `free` for `none` or nothing, null where it cannot be read. `(2+3+2)/8` is counted as 7/8. */
export function readMeter(text: string): Meter | 'free' | null {
  const plain = text.trim();
  if (plain === '' || /^none$/i.test(plain)) return 'free';
  const sum = /^\(?(\d+(?:\s*\+\s*\d+)+)\)?\s*\/\s*(\d+)$/.exec(plain);
  if (sum) {
    const count = (sum[1] ?? '').split('+').reduce((total, part) => total + Number(part), 0);
    return parseMeter(`${count}/${sum[2]}`);
  }
  return parseMeter(plain);
}

/** A length such as `1/8`, in whole notes; null where it is none. */
export function readLength(text: string): number | null {
  const match = /^\s*(\d{1,3})\s*(?:\/\s*(\d{1,4}))?\s*$/.exec(text);
  const value = match ? Number(match[1]) / Number(match[2] ?? 1) : 0;
  return value > 0 && Number.isFinite(value) ? value : null;
}

/** The unit length that a meter implies. Source: ABC standard 2.1, section 3.1.7. */
export function unitOf(meter: Meter | 'free' | null): number {
  return meter !== null && meter !== 'free' && meter.count / meter.unit < 0.75 ? 1 / 16 : 1 / 8;
}

export type TempoField =
  | { readonly kind: 'number'; readonly quartersPerMinute: number; readonly outdated: boolean }
  | { readonly kind: 'words'; readonly words: string }
  | { readonly kind: 'none' };

/**
 * A `Q:` field. `1/4=100`, `3/8=60`, `1/4 1/8=80` (their sum is the beat), words in quotes beside it; and the outdated
 * `120` and `C3=40`, counted in unit lengths. Source: ABC standard 2.1, section 3.1.8.
 */
export function readTempo(text: string, unit: number): TempoField {
  const words = /"([^"]*)"/.exec(text)?.[1]?.trim() ?? '';
  const rest = text.replace(/"[^"]*"?/g, ' ').trim();
  const modern = /^((?:\d{1,3}\s*\/\s*\d{1,3}\s*)+)=\s*(\d{1,6}(?:\.\d{1,6})?)/.exec(rest);
  if (modern) {
    const beats = [...(modern[1] ?? '').matchAll(/(\d+)\s*\/\s*(\d+)/g)];
    const beat = beats.reduce((sum, [, over, under]) => sum + Number(over) / Number(under), 0);
    return tempo(beat * 4 * Number(modern[2]), false);
  }
  const old = /^(?:C\s*(\d*)(?:\s*\/\s*(\d+))?\s*=\s*)?(\d{1,6}(?:\.\d{1,6})?)$/.exec(rest);
  if (old) {
    const times = Number(old[1] || 1) / Number(old[2] ?? 1);
    return tempo(unit * times * 4 * Number(old[3]), true);
  }
  return words !== '' && rest === '' ? { kind: 'words', words } : { kind: 'none' };
}

const tempo = (quartersPerMinute: number, outdated: boolean): TempoField => ({
  kind: 'number',
  quartersPerMinute,
  outdated,
});

/** What a `V:` field says of a voice. */
export interface VoiceField {
  readonly id: string;
  readonly name: string | null;
  readonly shift: number | null;
}

export function readVoice(text: string): VoiceField | null {
  const id = /^\s*(\S+)/.exec(text)?.[1];
  if (!id) return null;
  const name = /\b(?:name|nm)\s*=\s*(?:"([^"]*)"|(\S+))/.exec(text);
  return {
    id,
    name: name ? (name[1] ?? name[2] ?? '').replace(/\\n/g, ' ').trim() || null : null,
    shift: readShift(text.slice(text.indexOf(id) + id.length)),
  };
}

/** The voices of `%%score` and `%%staves`, from the top. Source: ABC standard 2.1, section 7.1. */
export function readScore(text: string): readonly string[] {
  return [...new Set(text.match(/[^\s()[\]{}|*+]+/g) ?? [])];
}
