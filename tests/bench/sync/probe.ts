/** Answers the load's questions about this process: what it has spent, and what it holds once its rubbish is gone. */
export interface Spent {
  /** Seconds of processor time, of all threads. */
  readonly cpuSeconds: number;
}
export interface Holds {
  /** Bytes: what the process takes of the machine, and what its objects and buffers take of that. */
  readonly resident: number;
  readonly objects: number;
}
export type Question = 'spent' | 'holds';

const gc: unknown = Reflect.get(globalThis, 'gc');

process.on('message', (question: Question) => {
  if (question === 'spent') {
    const { user, system } = process.cpuUsage();
    process.send?.({ cpuSeconds: (user + system) / 1e6 } satisfies Spent);
    return;
  }
  if (typeof gc !== 'function') throw new Error('started without --expose-gc');
  // Twice, and a turn between: what ends with a first collection is gone with the second.
  gc();
  setTimeout(() => {
    gc();
    const { rss, heapUsed, external } = process.memoryUsage();
    process.send?.({ resident: rss, objects: heapUsed + external } satisfies Holds);
  }, 50);
});
process.on('disconnect', () => process.exit(0));

/** Tells the load that the server stands, and how to get in. */
export function stands(cookie: string | null): void {
  process.send?.({ cookie });
}
