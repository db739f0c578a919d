/** Kinds of fills that do alike what a player does with both hands, whatever the instrument. Common practice, no source. */
const KINDS = {
  /** Even notes over held strings. */
  rolls: [
    'forward roll',
    'backward roll',
    'forward-reverse roll',
    'alternating thumb roll',
    'cross-picked roll',
    'roll',
    'shuffle',
  ],
  /** One note after the other. */
  lines: ['run up', 'run down', 'tag lick', 'answer', 'echo', 'drone-led'],
  /** Two strings, or a chord, that sound on. */
  chords: [
    'double-stops',
    'tremolo double-stops',
    'long bow',
    'slide into the chord',
    'pinch and vamp',
    'hum',
  ],
  /** What leads the bass. */
  low: ['bass run', 'walk', 'root and fifth', 'turnaround'],
} as const;

const kindOf = (family: string): string | null =>
  Object.entries(KINDS).find(([, families]) => families.some((each) => each === family))?.[0] ?? null;

/** How far a family is from another: 0 the same, 1 of one kind, 2 neither. */
export function kinship(family: string, other: string): 0 | 1 | 2 {
  if (family === other) return 0;
  const kind = kindOf(family);
  return kind !== null && kind === kindOf(other) ? 1 : 2;
}
