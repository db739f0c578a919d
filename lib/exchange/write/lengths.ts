import { itemAt } from '../../base';
import { TICKS_PER_QUARTER, type Ticks } from '../../time';

/** A note value as it is written. */
export interface NoteValue {
  readonly ticks: Ticks;
  /** Of a whole note: 1, 2, 4 … 64; null for a length that no single value stands for. */
  readonly unit: number | null;
  readonly dots: 0 | 1 | 2;
  /** Three in the time of two. */
  readonly triplet: boolean;
}

const WHOLE = 4 * TICKS_PER_QUARTER;

/** Longest first: plain, dotted and double-dotted values. */
const VALUES: readonly NoteValue[] = [1, 2, 4, 8, 16, 32, 64]
  .flatMap((unit): NoteValue[] =>
    ([0, 1, 2] as const).map((dots) => ({
      ticks: (WHOLE / unit) * (2 - 2 ** -dots),
      unit,
      dots,
      triplet: false,
    })),
  )
  .filter(({ ticks }) => Number.isInteger(ticks))
  .sort((a, b) => b.ticks - a.ticks);

/** The one value that lasts so long; null where there is none. */
export function writtenAs(ticks: Ticks, triplet: boolean): NoteValue | null {
  const plain = VALUES.find((value) => value.ticks === (triplet ? (ticks * 3) / 2 : ticks));
  return plain ? { ...plain, ticks, triplet } : null;
}

/** A length as values that follow one another, longest first; what no value stands for is one piece at the end. */
export function valuesOf(ticks: Ticks, triplet: boolean): readonly NoteValue[] {
  const whole = writtenAs(ticks, triplet);
  if (whole) return [whole];
  const values: NoteValue[] = [];
  let rest = ticks;
  while (rest > 0) {
    const next = VALUES.map((value) => (triplet ? (value.ticks * 2) / 3 : value.ticks)).find(
      (length, i) => itemAt(VALUES, i).dots < 2 && length <= rest,
    );
    const value = next === undefined ? null : writtenAs(next, triplet);
    if (value === null) return [...values, { ticks: rest, unit: null, dots: 0, triplet: false }];
    values.push(value);
    rest -= value.ticks;
  }
  return values;
}

/** A stretch of a bar that is written as triplets. */
export interface TripletSpan {
  readonly from: Ticks;
  readonly to: Ticks;
}

/** Lengths in which three stand for two: of a half note, and of a quarter. */
const SPANS: readonly Ticks[] = [2 * TICKS_PER_QUARTER, TICKS_PER_QUARTER, TICKS_PER_QUARTER / 2];

/**
 * Where a bar holds triplets: stretches of a half, a quarter or an eighth, counted from the bar's start, in which all onsets
 * lie on thirds (or sixths) and some on no even part.
 *
 * @param onsets places at which something begins or ends, within the bar
 */
export function tripletSpans(onsets: readonly Ticks[], barTicks: Ticks): readonly TripletSpan[] {
  const spans: TripletSpan[] = [];
  for (const length of SPANS) {
    for (let from = 0; from + length <= barTicks; from += length) {
      const to = from + length;
      if (spans.some((span) => span.from < to && span.to > from)) continue;
      const inside = onsets.filter((onset) => onset > from && onset < to).map((onset) => onset - from);
      const part = length / 6;
      if (!Number.isInteger(part) || inside.some((onset) => onset % part !== 0)) continue;
      // What begins in the middle as well is two shorter groups.
      if (inside.includes(length / 2)) continue;
      if (inside.some((onset) => onset % (length / 3) === 0)) spans.push({ from, to });
    }
  }
  return spans.sort((a, b) => a.from - b.from);
}
