import type { MessagePort } from 'node:worker_threads';
import type { Desk } from './desk';
import { carry } from './errors';
import type { Call, Calls, FromStore } from './messages';
import { packed, unpacked } from './parcel';
import { openDesk, type SqliteOptions } from './sqlite';

/**
 * The other half of `openWorkerStore`, in the thread that has the file: opens it and serves calls one after another,
 * until it is closed.
 */
export function serveStore(port: MessagePort, file: string, options: Omit<SqliteOptions, 'events'>): void {
  const tell = (message: FromStore, transfer: readonly ArrayBuffer[] = []) =>
    port.postMessage(message, [...transfer]);
  let desk: Desk;
  try {
    desk = openDesk(file, {
      ...options,
      events: {
        committed: (updates, milliseconds) => tell({ kind: 'committed', updates, milliseconds }),
        refused: (updates) => tell({ kind: 'refused', updates }),
        compacted: (updates) => tell({ kind: 'compacted', updates }),
        damaged: (damage) => tell({ kind: 'damaged', damage }),
      },
    });
  } catch (error) {
    tell({ kind: 'not open', error: carry(error) });
    port.close();
    return;
  }
  const calls: Calls = {
    ...desk,
    append: (names, updates) => {
      const parts = unpacked(updates);
      return desk.appendAll(names.map((name, i) => ({ name, update: parts[i] ?? new Uint8Array() })));
    },
    create: (name, update) => desk.create(name, unpacked(update)[0] ?? new Uint8Array()),
    load: async (name) => {
      const stored = await desk.load(name);
      return stored === null ? null : { ...stored, updates: packed(stored.updates) };
    },
  };
  port.on('message', ({ id, method, args }: Call) => {
    const called: Promise<unknown> = Reflect.apply(calls[method], null, args);
    called.then(
      (value) => {
        tell({ kind: 'answer', id, result: { ok: true, value } });
        if (method === 'close') port.close();
      },
      (error: unknown) => tell({ kind: 'answer', id, result: { ok: false, error: carry(error) } }),
    );
  });
  tell({ kind: 'open' });
}
