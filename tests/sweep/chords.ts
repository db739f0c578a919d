/**
 * Chord symbols for music that was written in voices: which chord sounds in a stretch, told from its pitches alone.
 * Source, from memory: any harmony primer; triads and sevenths in their closest spelling.
 */

/** A pitch that sounds for some time inside a stretch. */
export interface Sounding {
  readonly midi: number;
  readonly ticks: number;
}

const ROOTS = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];

/** Semitones above the root; `rare` is what a chord must win by to be taken before a plainer one, as a share of all that sounds. */
const KINDS: readonly {
  readonly suffix: string;
  readonly above: readonly number[];
  readonly rare: number;
}[] = [
  { suffix: '', above: [0, 4, 7], rare: 0 },
  { suffix: 'm', above: [0, 3, 7], rare: 0.02 },
  { suffix: '7', above: [0, 4, 7, 10], rare: 0.1 },
  { suffix: 'm7', above: [0, 3, 7, 10], rare: 0.15 },
  { suffix: 'dim', above: [0, 3, 6], rare: 0.15 },
];
/** What a root is worth that is also the lowest note, as a share of all that sounds. */
const ROOT_BELOW = 0.15;

/** The chord whose tones sound longest, less what is foreign to it; null where nothing sounds. */
export function chordOf(sounding: readonly Sounding[]): string | null {
  const weight = Array.from({ length: 12 }, () => 0);
  let all = 0;
  let lowest = Number.POSITIVE_INFINITY;
  for (const { midi, ticks } of sounding) {
    weight[midi % 12] = (weight[midi % 12] ?? 0) + ticks;
    all += ticks;
    lowest = Math.min(lowest, midi);
  }
  if (all === 0) return null;
  let best = { symbol: '', score: Number.NEGATIVE_INFINITY };
  ROOTS.forEach((name, root) => {
    for (const { suffix, above, rare } of KINDS) {
      const inside = above.reduce((sum, step) => sum + (weight[(root + step) % 12] ?? 0), 0);
      const missing = above.filter((step) => (weight[(root + step) % 12] ?? 0) === 0).length;
      const score =
        (2 * inside - all) / all - rare - 0.05 * missing + (lowest % 12 === root ? ROOT_BELOW : 0);
      if (score > best.score) best = { symbol: name + suffix, score };
    }
  });
  return best.symbol;
}
