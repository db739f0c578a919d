import type { Density, Paper } from '../../lib/parts';
import { printedOf } from '../sw/names';

/** What this device last printed of a player's book: when, and what each part was stamped with. */
export interface Printed {
  /** Milliseconds since 1970. */
  readonly at: number;
  readonly stamps: Readonly<Record<string, string>>;
}

/** Whose book of which set, on what paper, and how much of it. */
export interface BookLook {
  readonly bandId: string;
  readonly setId: string;
  readonly playerId: string;
  readonly paper: Paper;
  readonly density: Density;
}

const keyOf = ({ bandId, setId, playerId, paper, density }: BookLook): string =>
  printedOf(bandId) + [setId, playerId, paper, density].join(' ');

/** Null: nothing that this device knows of. */
export function printedBefore(look: BookLook): Printed | null {
  try {
    const stored: unknown = JSON.parse(localStorage.getItem(keyOf(look)) ?? 'null');
    if (typeof stored !== 'object' || stored === null || !('at' in stored) || !('stamps' in stored))
      return null;
    const { at, stamps } = stored;
    if (typeof at !== 'number' || typeof stamps !== 'object' || stamps === null) return null;
    const known = Object.entries(stamps).filter(
      (each): each is [string, string] => typeof each[1] === 'string',
    );
    return { at, stamps: Object.fromEntries(known) };
  } catch {
    // Storage that is off or damaged knows nothing.
    return null;
  }
}

/** What is printed now takes the place of what was; parts that were not printed this time stay as they were. */
export function rememberPrinted(look: BookLook, stamps: Printed['stamps'], at: number): void {
  const before = printedBefore(look)?.stamps ?? {};
  try {
    localStorage.setItem(keyOf(look), JSON.stringify({ at, stamps: { ...before, ...stamps } }));
  } catch {
    // Then nothing can be marked as changed next time; the book itself is there.
  }
}

/** The parts of a book as it would be now that the paper does not hold, in the order of the book. */
export function changedSince(printed: Printed, now: Printed['stamps']): readonly string[] {
  return Object.keys(now).filter((name) => now[name] !== printed.stamps[name]);
}
