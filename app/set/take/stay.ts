/** How a browser answered when it was asked to keep what is here until it is taken off. */
export type Stay = 'promised' | 'not promised' | 'not said';

const answer = (said: boolean | undefined): Stay =>
  said === undefined ? 'not said' : said ? 'promised' : 'not promised';

/** Asks the browser to keep what lies here; some ask the person in their turn. */
export const askToStay = async (storage: Partial<StorageManager> | undefined): Promise<Stay> =>
  answer(await storage?.persist?.().catch(() => undefined));

/** How it has answered, without asking. */
export const whetherItStays = async (storage: Partial<StorageManager> | undefined): Promise<Stay> =>
  answer(await storage?.persisted?.().catch(() => undefined));
