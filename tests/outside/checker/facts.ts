/**
 * What the checker knows of instruments and chords, by itself: nothing here comes from the program's own tables.
 */

/**
 * Open strings from the first (nearest the floor) on, as scientific pitch names.
 * Source, from memory: usual tunings of the instruments as method books print them.
 */
const TUNING_NAMES: Readonly<Record<string, string>> = {
  'guitar standard': 'E4 B3 G3 D3 A2 E2',
  'guitar drop D': 'E4 B3 G3 D3 A2 D2',
  'banjo standard': 'D4 B3 G3 D3 G4',
  'banjo open G': 'D4 B3 G3 D3 G4',
  'banjo double C': 'D4 C4 G3 C3 G4',
  'banjo modal': 'D4 C4 G3 D3 G4',
  'mandolin standard': 'E5 A4 D4 G3',
  'mandolin cross A': 'E5 A4 E4 A3',
  'fiddle standard': 'E5 A4 D4 G3',
  'fiddle cross A': 'E5 A4 E4 A3',
  'resonator guitar standard': 'D4 B3 G3 D3 B2 G2',
  'resonator guitar open G': 'D4 B3 G3 D3 B2 G2',
  'bass standard': 'G2 D2 A1 E1',
};

const LETTERS: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

function midiOfName(name: string): number {
  const semitone = LETTERS[name.charAt(0)];
  if (semitone === undefined) throw new Error(`no pitch: ${name}`);
  return 12 * (Number(name.charAt(1)) + 1) + semitone;
}

/** Open strings by number, as sounded, with the capo on; a banjo's fifth string has its own. */
export function openMidi(
  instrument: string,
  tuning: string,
  capo: number,
  fifthCapo: number | null,
): ReadonlyMap<number, number> {
  const names = TUNING_NAMES[`${instrument} ${tuning}`];
  if (names === undefined) throw new Error(`the checker has no tuning ${instrument} ${tuning}`);
  return new Map(
    names.split(' ').map((name, i) => {
      const short = instrument === 'banjo' && i === 4;
      return [i + 1, midiOfName(name) + (short ? (fifthCapo ?? capo) : capo)];
    }),
  );
}

/** Nut to bridge in millimetres, and the last fret (or semitone) there is. Common practice, no source. */
export const NECKS: Readonly<Record<string, { readonly scale: number; readonly frets: number }>> = {
  guitar: { scale: 645, frets: 20 },
  banjo: { scale: 667, frets: 22 },
  mandolin: { scale: 352, frets: 20 },
  fiddle: { scale: 328, frets: 14 },
  'resonator guitar': { scale: 635, frets: 19 },
  bass: { scale: 1060, frets: 12 },
};

/**
 * How far a fret lies from the nut, by the luthier's rule: each fret takes 1/17.817 of what is left of the string.
 * Source, from memory: the rule of 17.817, as in books on guitar making.
 */
export function fretFromNut(scale: number, fret: number): number {
  let left = scale;
  for (let i = 0; i < fret; i++) left -= left / 17.817;
  return scale - left;
}

/** Semitones above the root. Source, from memory: any harmony primer; the qualities that the test songs use. */
const QUALITIES: Readonly<Record<string, readonly number[]>> = {
  '': [0, 4, 7],
  m: [0, 3, 7],
  '7': [0, 4, 7, 10],
  m7: [0, 3, 7, 10],
  maj7: [0, 4, 7, 11],
  '6': [0, 4, 7, 9],
  dim: [0, 3, 6],
  dim7: [0, 3, 6, 9],
  m7b5: [0, 3, 6, 10],
  aug: [0, 4, 8],
  m6: [0, 3, 7, 9],
  '9': [0, 4, 7, 10, 2],
  add9: [0, 4, 7, 2],
  sus2: [0, 2, 7],
  sus4: [0, 5, 7],
};

/** The pitch classes of a chord symbol; null where the table does not have it. */
export function chordTones(symbol: string): ReadonlySet<number> | null {
  const match = /^([A-G])([#b]?)(m7b5|maj7|dim7|add9|sus4|sus2|m7|m6|dim|aug|m|7|6|9|)(?:\/.*)?$/.exec(
    symbol.trim(),
  );
  const letter = match?.[1];
  const steps = QUALITIES[match?.[3] ?? '?'];
  if (letter === undefined || steps === undefined) return null;
  const sign = match?.[2] === '#' ? 1 : match?.[2] === 'b' ? -1 : 0;
  const root = (LETTERS[letter] ?? 0) + sign;
  return new Set(steps.map((step) => (root + step + 12) % 12));
}

/** The pitch class that a bass plays under a chord symbol: what stands after the slash, else the root; null where it cannot be read. */
export function bassOf(symbol: string): number | null {
  const match = /^([A-G])([#b]?)[^/]*(?:\/([A-G])([#b]?))?$/.exec(symbol.trim());
  const letter = match?.[3] ?? match?.[1];
  const sign = match?.[3] === undefined ? match?.[2] : match[4];
  if (letter === undefined) return null;
  return ((LETTERS[letter] ?? 0) + (sign === '#' ? 1 : sign === 'b' ? -1 : 0) + 12) % 12;
}
