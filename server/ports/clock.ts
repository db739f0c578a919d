/** Milliseconds since 1970. */
export type Clock = () => number;

export const systemClock: Clock = () => Date.now();

/** Random bytes that nobody can guess. */
export type Secrets = (bytes: number) => Uint8Array;
