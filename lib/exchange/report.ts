import { itemAt } from '../base';

/** Something of the file that the song does not hold, and where it stands (line and column from 1). */
export interface LeftOut {
  readonly what: string;
  readonly line: number;
  readonly column: number;
  /** Where in the music, for a file that is not read as text by people: `bar 12 of Lead`. Say this rather than line and column. */
  readonly place?: string;
}

/** A place as people are told it: `bar 12 of Lead`, `line 3, column 7`. */
export function sayLeftOutPlace({ line, column, place }: LeftOut): string {
  return place ?? `line ${line}, column ${column}`;
}

/** What became of a file: nothing is dropped in silence. */
export interface ReadReport {
  /** What was read, in short: `4 voices`, `32 bars`. */
  readonly read: readonly string[];
  /** Where the file did not say, and what was taken. */
  readonly guessed: readonly string[];
  readonly leftOut: readonly LeftOut[];
  /** What was read as written and should be looked at: voices that disagree, chord symbols that nobody can read. */
  readonly warnings: readonly string[];
}

/** A place in a text, both from 1. */
export interface TextPlace {
  readonly line: number;
  readonly column: number;
}

const MOST_OF_A_LIST = 200;

/** Collects a report while a file is read; places are given as offsets in its text, or as the placer takes them. */
export class Findings {
  readonly #lineStarts: number[] = [0];
  readonly #read: string[] = [];
  readonly #guessed: string[] = [];
  readonly #warnings: string[] = [];
  readonly #leftOut: { what: string; offset: number; count: number }[] = [];
  readonly #byKind = new Map<string, number>();
  /** What went beyond the list's length. */
  #more = 0;
  #moreFrom = 0;

  readonly #inMusic: ((at: number) => string) | null;
  readonly #noText: boolean;

  /**
   * @param text what line and column are counted in; may be empty where `inMusic` is given
   * @param inMusic says a place in the music, for files of which nobody reads lines and columns
   */
  constructor(text: string, inMusic: ((at: number) => string) | null = null) {
    this.#inMusic = inMusic;
    this.#noText = text === '' && inMusic !== null;
    for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) this.#lineStarts.push(at + 1);
  }

  placeOf(offset: number): TextPlace {
    if (this.#noText) return { line: 1, column: 1 };
    let low = 0;
    let high = this.#lineStarts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (itemAt(this.#lineStarts, middle) <= offset) low = middle;
      else high = middle - 1;
    }
    return { line: low + 1, column: Math.max(0, offset - itemAt(this.#lineStarts, low)) + 1 };
  }

  /** `line 3, column 7`; or the place in the music. */
  sayPlace(offset: number): string {
    if (this.#inMusic) return this.#inMusic(offset);
    const { line, column } = this.placeOf(offset);
    return `line ${line}, column ${column}`;
  }

  read(what: string): void {
    this.#read.push(what);
  }

  guessed(what: string): void {
    if (this.#guessed.length < MOST_OF_A_LIST && !this.#guessed.includes(what)) this.#guessed.push(what);
  }

  warn(what: string): void {
    if (this.#warnings.length < MOST_OF_A_LIST && !this.#warnings.includes(what)) this.#warnings.push(what);
  }

  leftOut(what: string, offset: number): void {
    if (this.#leftOut.length < MOST_OF_A_LIST) this.#leftOut.push({ what, offset, count: 1 });
    else this.#beyond(offset);
  }

  /** Like `leftOut`, but all of a kind make one entry, placed where the first stands: `n` stands for the count. */
  leftOutEach(one: string, many: (n: number) => string, offset: number): void {
    const index = this.#byKind.get(one);
    const entry = index === undefined ? undefined : this.#leftOut[index];
    if (!entry) {
      if (this.#leftOut.length >= MOST_OF_A_LIST) {
        this.#beyond(offset);
        return;
      }
      this.#byKind.set(one, this.#leftOut.length);
      this.#leftOut.push({ what: one, offset, count: 1 });
      return;
    }
    entry.count += 1;
    entry.what = many(entry.count);
  }

  #beyond(offset: number): void {
    if (this.#more === 0) this.#moreFrom = offset;
    this.#more += 1;
  }

  report(): ReadReport {
    const more =
      this.#more > 0
        ? [{ what: `${this.#more} things more, of which this is the first`, offset: this.#moreFrom }]
        : [];
    return {
      read: this.#read,
      guessed: this.#guessed,
      leftOut: [...this.#leftOut, ...more]
        .sort((a, b) => a.offset - b.offset)
        .map(({ what, offset }) => ({
          what,
          ...this.placeOf(offset),
          ...(this.#inMusic ? { place: this.#inMusic(offset) } : {}),
        })),
      warnings: this.#warnings,
    };
  }
}
