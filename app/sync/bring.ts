import { IndexeddbPersistence } from 'y-indexeddb';
import * as Y from 'yjs';
import type { Refusal } from '../../lib/protocol';
import { heldWhole } from './forget';
import { databaseOf } from './ledger';
import { type OpenOptions, openDocument } from './open';

/** Why a document could not be brought: the server is away, has refused it for good, or this device does not hold it. */
export class NotBrought extends Error {
  readonly why: 'away' | 'refused' | 'device';
  readonly refusal: Refusal | null;

  constructor(why: NotBrought['why'], refusal: Refusal | null = null) {
    super(`a document was not brought: ${refusal?.code ?? why}`);
    this.why = why;
    this.refusal = refusal;
  }
}

/** How often what was written is looked for, and how long between, in milliseconds. */
const LOOKS = 60;
const BETWEEN = 50;

/**
 * Brings a document to this device as the server now has it. Only what differs travels. It is done when what was written has been
 * read back from the device.
 *
 * @param signal stops it; what has come so far stays
 * @returns it, closed again
 * @throws NotBrought; the signal's reason where it was stopped
 */
export async function bringDocument(
  name: string,
  signal: AbortSignal,
  options: OpenOptions = {},
): Promise<Y.Doc> {
  const first = await bringOnce(name, signal, options);
  const doc = first === 'another' ? await bringOnce(name, signal, options) : first;
  if (doc === 'another') throw new NotBrought('device');
  return doc;
}

/** Closed again when it is here; 'another': what this device held was another document of the same name, which is gone now. */
async function bringOnce(
  name: string,
  signal: AbortSignal,
  options: OpenOptions,
): Promise<Y.Doc | 'another'> {
  signal.throwIfAborted();
  let stop = (): void => {};
  let replaced = (): void => {};
  const another = new Promise<'another'>((resolve) => {
    replaced = () => resolve('another');
  });
  const open = openDocument(name, { ...options, onReplaced: replaced });
  try {
    const came = new Promise<Y.Doc>((resolve, reject) => {
      const onAbort = () => reject(signal.reason);
      const look = () => {
        const { state, onDevice, problem } = open.status.getSnapshot();
        if (state === 'not allowed') reject(new NotBrought('refused', problem));
        else if (state === 'offline') reject(new NotBrought('away'));
        else if (isSettled) {
          if (onDevice) resolve(open.doc);
          else reject(new NotBrought('device'));
        }
      };
      let isSettled = false;
      const unsubscribe = open.status.subscribe(look);
      signal.addEventListener('abort', onAbort);
      stop = () => {
        unsubscribe();
        signal.removeEventListener('abort', onAbort);
      };
      void open.settled.then(() => {
        isSettled = true;
        look();
      });
    });
    const doc = await Promise.race([came, another]);
    if (doc === 'another') return doc;
    for (let look = 0; look < LOOKS; look++) {
      signal.throwIfAborted();
      if ((await heldWhole([name])).has(name) && (await isWritten(name, doc))) return doc;
      await new Promise((resolve) => setTimeout(resolve, BETWEEN));
    }
    throw new NotBrought('device');
  } finally {
    stop();
    open.destroy();
  }
}

/** Reads what the device holds, apart from the document that was written, and sees that nothing of that is missing. */
async function isWritten(name: string, doc: Y.Doc): Promise<boolean> {
  const back = new Y.Doc();
  const persistence = new IndexeddbPersistence(databaseOf(name), back);
  try {
    await persistence.whenSynced;
    const there = back.store.clients;
    return [...Y.decodeStateVector(Y.encodeStateVector(doc))].every(
      ([writer]) => Y.getState(back.store, writer) >= Y.getState(doc.store, writer) && there.has(writer),
    );
  } catch {
    return false;
  } finally {
    await persistence.destroy();
  }
}
