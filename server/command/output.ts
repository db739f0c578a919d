import type { Problem } from '../../lib/base';

/** Where a run writes: the answers and, beside them, what is said about them. */
export interface Output {
  /** Writes a line and waits until it may write on. */
  line(text: string): Promise<void>;
  note(text: string): void;
}

/** Anything that can be written as one line of JSON. */
export type Answer = Readonly<Record<string, unknown>>;

/** An answer as data and as people read it. */
export interface Told {
  readonly answer: Answer;
  readonly text: string;
}

/** The answer for a file that could not be answered, as a line of JSON. */
export function errorAnswer(file: string, error: Problem): Answer {
  return { file, error };
}

/** The same for people. */
export function errorText(file: string, { what, where, mend }: Problem): string {
  return `${file}\n  cannot be answered: ${what} (${where})\n  ${mend}`;
}

/** Rows of cells as lines with even columns, two spaces between them; the last column is not padded. */
export function table(rows: readonly (readonly string[])[]): string[] {
  const widths: number[] = [];
  for (const row of rows) {
    row.forEach((cell, i) => {
      widths[i] = Math.max(widths[i] ?? 0, cell.length);
    });
  }
  return rows.map((row) =>
    row
      .map((cell, i) => (i + 1 < row.length ? cell.padEnd(widths[i] ?? 0) : cell))
      .join('  ')
      .trimEnd(),
  );
}

/** A number for people: at most two places. */
export function plain(value: number): string {
  return String(Math.round(value * 100) / 100);
}

/** A number for JSON: at most `places` places, so that sums of fractions read as they are meant. */
export function rounded(value: number, places: number): number {
  const factor = 10 ** places;
  return Math.round(value * factor) / factor;
}
