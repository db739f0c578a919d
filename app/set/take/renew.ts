import { eveningsOf } from '../../sw/names';

/** An evening that was held against the server's songs so many milliseconds ago is not looked at again by itself. */
export const FRESH_FOR = 5 * 60_000;

/** One window at a time brings an evening or takes it off. `ifFree` false waits for its turn. @returns null where another was at it */
export async function alone<T>(
  bandId: string,
  setId: string,
  ifFree: boolean,
  act: () => Promise<T>,
): Promise<T | null> {
  return navigator.locks.request(`breathmark evening ${bandId} ${setId}`, { ifAvailable: ifFree }, (lock) =>
    lock === null ? null : act(),
  );
}

/** Renews all evenings of a band that are on this device, where it is their time; says nothing of what fails. */
export async function renewEvenings(bandId: string): Promise<void> {
  if (typeof caches === 'undefined' || !navigator.onLine || !(await caches.has(eveningsOf(bandId)))) return;
  const [{ allNotes }, { carry }] = await Promise.all([import('./note'), import('./carry')]);
  for (const { setId, playerIds, checkedAt } of await allNotes(bandId)) {
    if (checkedAt !== null && Date.now() - checkedAt < FRESH_FOR) continue;
    const asked = { bandId, setId, playerIds, anew: false, signal: new AbortController().signal };
    await alone(bandId, setId, true, () =>
      carry({ ...asked, now: Date.now, onProgress: () => {} }).then(
        () => {},
        // It stays as it was; the page of the set says since when.
        () => {},
      ),
    );
  }
}
