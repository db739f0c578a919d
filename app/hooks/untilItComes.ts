/** From the first pause to the longest, in milliseconds: each is twice as long as the one before. */
const FIRST_PAUSE = 500;
const LONGEST_PAUSE = 8_000;

const pausing = (milliseconds: number): Promise<void> =>
  new Promise((done) => setTimeout(done, milliseconds));

/**
 * A part of the program that is loaded when it is needed, tried again until it comes: where the connection drops just then, the rest of the
 * page stands and goes on, and the part's place stays as it is until then.
 */
export async function untilItComes<T>(
  load: () => Promise<T>,
  pause: (milliseconds: number) => Promise<void> = pausing,
): Promise<T> {
  for (let wait = FIRST_PAUSE; ; wait = Math.min(2 * wait, LONGEST_PAUSE)) {
    try {
      return await load();
    } catch {
      await pause(wait);
    }
  }
}
