import type { Worker } from 'node:worker_threads';
import type { Store, StoreEvents } from '../ports';
import { type Desk, queued } from './desk';
import { carriedError } from './errors';
import type { Answer, Call, Calls, FromStore } from './messages';
import { packed, unpacked } from './parcel';

export interface WorkerStoreOptions {
  readonly events?: StoreEvents;
  readonly gatherMilliseconds?: number;
  /** The thread has ended unasked: nothing can be kept any more. */
  readonly broken?: (error: Error) => void;
}

/**
 * A store whose file lies in the hands of another thread (one that runs `serveStore`), so that a slow disk holds up no
 * socket. Resolves when it is open; rejects as `openSqliteStore` throws.
 */
export async function openWorkerStore(worker: Worker, options: WorkerStoreOptions = {}): Promise<Store> {
  const line = new Line(worker, options);
  await line.opened;
  return queued(deskOver(line, worker), options.gatherMilliseconds);
}

/** Calls to the thread and their answers. */
class Line {
  readonly opened: Promise<void>;
  readonly #worker: Worker;
  readonly #options: WorkerStoreOptions;
  readonly #calls = new Map<
    number,
    { readonly resolve: (answer: unknown) => void; readonly reject: (error: Error) => void }
  >();
  #count = 0;
  #ended: Error | null = null;
  #isOpen = false;

  constructor(worker: Worker, options: WorkerStoreOptions) {
    this.#worker = worker;
    this.#options = options;
    this.opened = new Promise((resolve, reject) => {
      worker.on('message', (message: FromStore) => {
        if (message.kind === 'open') {
          this.#isOpen = true;
          resolve();
        } else if (message.kind === 'not open') reject(carriedError(message.error));
        else this.#take(message);
      });
      const end = (error: Error) => {
        reject(error);
        this.#end(error);
      };
      worker.on('error', end);
      worker.on('exit', () => end(new Error('the thread of the store has ended')));
    });
  }

  ask<K extends keyof Calls>(
    method: K,
    args: Parameters<Calls[K]>,
    transfer: readonly ArrayBuffer[] = [],
  ): ReturnType<Calls[K]> {
    const answer = new Promise((resolve, reject) => {
      if (this.#ended !== null) return reject(this.#ended);
      this.#count += 1;
      this.#calls.set(this.#count, { resolve, reject });
      const call: Call = { id: this.#count, method, args };
      this.#worker.postMessage(call, [...transfer]);
    });
    // The thread answers a call with what that call of the desk returns.
    return answer as ReturnType<Calls[K]>;
  }

  /** From here on the thread ends because it was asked to. */
  closed(): void {
    this.#isOpen = false;
  }

  #take(message: Exclude<FromStore, { kind: 'open' | 'not open' }>): void {
    const { events } = this.#options;
    if (message.kind === 'answer') this.#answered(message);
    else if (message.kind === 'committed') events?.committed?.(message.updates, message.milliseconds);
    else if (message.kind === 'refused') events?.refused?.(message.updates);
    else if (message.kind === 'compacted') events?.compacted?.(message.updates);
    else events?.damaged?.(message.damage);
  }

  #answered({ id, result }: Answer): void {
    const call = this.#calls.get(id);
    this.#calls.delete(id);
    if (result.ok) call?.resolve(result.value);
    else call?.reject(carriedError(result.error));
  }

  #end(error: Error): void {
    if (this.#ended !== null) return;
    this.#ended = error;
    for (const { reject } of this.#calls.values()) reject(error);
    this.#calls.clear();
    if (this.#isOpen) this.#options.broken?.(error);
  }
}

function deskOver(line: Line, worker: Worker): Desk {
  const gone = new Promise<void>((done) => worker.once('exit', () => done()));
  let closing: Promise<void> | null = null;
  return {
    load: async (name) => {
      const stored = await line.ask('load', [name]);
      return stored === null ? null : { ...stored, updates: unpacked(stored.updates) };
    },
    create: (name, update) => {
      const parcel = packed([update]);
      return line.ask('create', [name, parcel], [parcel.bytes.buffer]);
    },
    appendAll: (additions) => {
      const parcel = packed(additions.map(({ update }) => update));
      const names = additions.map(({ name }) => name);
      return line.ask('append', [names, parcel], [parcel.bytes.buffer]);
    },
    compact: (name) => line.ask('compact', [name]),
    addBand: (bandId, at) => line.ask('addBand', [bandId, at]),
    hasBand: (bandId) => line.ask('hasBand', [bandId]),
    deleteBand: (bandId) => line.ask('deleteBand', [bandId]),
    addLink: (link, secretHash) => line.ask('addLink', [link, new Uint8Array(secretHash)]),
    links: (bandId) => line.ask('links', [bandId]),
    link: (linkId) => line.ask('link', [linkId]),
    linkBySecret: (secretHash) => line.ask('linkBySecret', [new Uint8Array(secretHash)]),
    endLink: (bandId, linkId, at) => line.ask('endLink', [bandId, linkId, at]),
    probe: () => line.ask('probe', []),
    close: () => {
      closing ??= (async () => {
        line.closed();
        await line.ask('close', []);
        await gone;
      })();
      return closing;
    },
  };
}
