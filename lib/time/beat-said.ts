/** Parts of a beat by their names; what is none of them is told as past the beat. */
const PARTS: readonly (readonly [number, string])[] = [
  [1 / 2, 'a half'],
  [1 / 3, 'a third'],
  [2 / 3, 'two thirds'],
  [1 / 4, 'a quarter'],
  [3 / 4, 'three quarters'],
  [1 / 6, 'a sixth'],
  [5 / 6, 'five sixths'],
  [1 / 8, 'an eighth'],
  [3 / 8, 'three eighths'],
  [5 / 8, 'five eighths'],
  [7 / 8, 'seven eighths'],
];

/** How near a part of a beat has to lie to go by its name: closer than that nobody hears a difference. */
const NEAR = 0.02;

/** A number of beats, or a beat's place, as players say it: `2`, `2 and a half`, `2 and two thirds`. */
export function beatsSaid(beats: number): string {
  const whole = Math.floor(beats + NEAR);
  const rest = beats - whole;
  if (Math.abs(rest) < NEAR) return String(whole);
  const part = PARTS.find(([share]) => Math.abs(share - rest) < NEAR)?.[1] ?? 'a little';
  return whole === 0 ? part : `${whole} and ${part}`;
}
