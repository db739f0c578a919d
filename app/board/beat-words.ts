/** A number of beats, or a beat's place, as players say it: `2`, `2 and a half`. */
export function beatsInWords(beats: number): string {
  const whole = Math.floor(beats + 0.01);
  const rest = beats - whole;
  if (Math.abs(rest) < 0.02) return String(whole);
  const part = PARTS.find(([share]) => Math.abs(share - rest) < 0.02)?.[1];
  if (part === undefined) return `${whole} and ${rest.toFixed(2)}`;
  return whole === 0 ? part : `${whole} and ${part}`;
}

const PARTS: readonly (readonly [number, string])[] = [
  [1 / 2, 'a half'],
  [1 / 3, 'a third'],
  [2 / 3, 'two thirds'],
  [1 / 4, 'a quarter'],
  [3 / 4, 'three quarters'],
];
