/** What a suite of faults hands in, and what it is given to say what happened. */
export interface Report {
  /** A server, store or socket was ended without being asked. */
  kill(count?: number): void;
  /** So many edits were called kept, and were looked for afterwards. */
  kept(count: number): void;
  /** So many of those were not there. One is enough to fail the whole run. */
  lost(count: number, what: string): void;
  /** Anything else that should not have been. */
  wrong(what: string): void;
  /** Adds to a figure of the suite that is printed beside its runs. */
  count(what: string, by?: number): void;
  /** The greatest value of a figure of the suite. */
  most(what: string, value: number): void;
}

export interface Suite {
  readonly name: string;
  /** How many seeds are run: in the short form, and in the long one. */
  readonly runs: { readonly short: number; readonly long: number };
  /** Null where it can run here; else why not, which is printed. */
  readonly hindrance?: () => string | null;
  /** One run. The same seed makes the same choices; a rejection is a failure. */
  run(seed: number, report: Report): Promise<void>;
}
