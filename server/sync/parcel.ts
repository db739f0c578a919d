import { putOnWire, wireLength, wireOf } from './wire';

/** One message with its sender; null: nobody's. */
export interface Sent<Sender> {
  readonly from: Sender | null;
  readonly message: Uint8Array;
}

/**
 * What one turn has for everybody in a room, encoded once: one merged message for whoever sent none of it, and for
 * whoever did, the messages of the others as they came, cut out of one buffer. Nobody hears their own.
 */
export class Parcel<Sender> {
  readonly #sent: readonly Sent<Sender>[];
  readonly #senders: Set<Sender | null>;
  readonly #merged: () => Uint8Array;
  #mergedWire: Buffer | null = null;
  #apart: { readonly all: Buffer; readonly ends: readonly number[] } | null = null;

  /** `merged` makes the message that stands for all of them. Where nothing was sent by anybody, everybody gets it. */
  constructor(sent: readonly Sent<Sender>[], merged: () => Uint8Array) {
    this.#sent = sent;
    this.#senders = new Set(sent.map(({ from }) => from));
    this.#merged = merged;
  }

  /** What to write to that reader, in order; nothing where all of it is its own. */
  for(reader: Sender): readonly Buffer[] {
    if (!this.#senders.has(reader)) {
      this.#mergedWire ??= wireOf(this.#merged());
      return [this.#mergedWire];
    }
    return this.#senders.size === 1 ? [] : this.#withoutOwn(reader);
  }

  #withoutOwn(reader: Sender): readonly Buffer[] {
    this.#apart ??= cutUp(this.#sent);
    const { all, ends } = this.#apart;
    const parts: Buffer[] = [];
    let from = 0;
    let to = 0;
    for (const [i, one] of this.#sent.entries()) {
      const end = ends[i] ?? to;
      if (one.from === reader) {
        if (to > from) parts.push(all.subarray(from, to));
        from = end;
      }
      to = end;
    }
    if (to > from) parts.push(all.subarray(from, to));
    return parts;
  }
}

function cutUp(sent: readonly Sent<unknown>[]) {
  const all = Buffer.allocUnsafe(sent.reduce((sum, { message }) => sum + wireLength(message), 0));
  let end = 0;
  const ends = sent.map(({ message }) => {
    end = putOnWire(message, all, end);
    return end;
  });
  return { all, ends };
}
