import type { Writable } from 'node:stream';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as ws from 'ws';
import { Pace, type PaceOptions } from '../../../server/sync/pace';
import { Parcel, type Sent } from '../../../server/sync/parcel';
import { wireOf } from '../../../server/sync/wire';

// Reference library: ws, whose receiver is the page's side here; its types do not know it.
const Receiver: new (options: { isServer: boolean }) => Writable = Reflect.get(ws, 'Receiver');

/** What a page reads from those bytes, handed over in pieces of that length. */
function readByPage(wires: readonly Buffer[], piece = Number.POSITIVE_INFINITY): Promise<Uint8Array[]> {
  const receiver = new Receiver({ isServer: false });
  const messages: Uint8Array[] = [];
  return new Promise((done, broken) => {
    receiver.on('message', (data: Buffer, isBinary: boolean) => {
      expect(isBinary).toBe(true);
      messages.push(new Uint8Array(data));
    });
    receiver.on('error', broken);
    receiver.on('finish', () => done(messages));
    const all = Buffer.concat(wires);
    for (let at = 0; at < all.length; at += piece) receiver.write(all.subarray(at, at + piece));
    receiver.end();
  });
}

describe('a message on the wire', () => {
  it.each([0, 1, 125, 126, 127, 65_535, 65_536, 70_000])('of %i bytes is read as it was', async (length) => {
    const message = Uint8Array.from({ length }, (_byte, i) => i % 251);
    const [read] = await readByPage([wireOf(message)]);
    expect(read).toEqual(message);
  });

  // Source: RFC 6455, section 5.7, the unmasked binary messages of 256 bytes and of 64 KiB.
  it('begins as the standard’s examples do', () => {
    expect([...wireOf(new Uint8Array(256)).subarray(0, 4)]).toEqual([0x82, 0x7e, 0x01, 0x00]);
    expect([...wireOf(new Uint8Array(65_536)).subarray(0, 10)]).toEqual([
      0x82, 0x7f, 0, 0, 0, 0, 0, 0x01, 0, 0,
    ]);
  });

  it('is read whole from whatever pieces it comes in', async () => {
    const messages = [3, 200, 0, 66_000].map((length) => new Uint8Array(length).fill(length % 7));
    expect(await readByPage(messages.map(wireOf), 1000)).toEqual(messages);
  });
});

describe('a parcel', () => {
  const merged = () => Uint8Array.of(255);

  it('brings everybody what the others sent, in order, and nobody their own', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.tuple(fc.nat(4), fc.uint8Array({ maxLength: 200 }))), async (list) => {
        const sent: Sent<number>[] = list.map(([from, message]) => ({ from, message }));
        const parcel = new Parcel(sent, merged);
        for (let reader = 0; reader < 5; reader++) {
          const got = await readByPage(parcel.for(reader));
          const others = list.filter(([from]) => from !== reader).map(([, message]) => message);
          // Whoever sent nothing gets the one message that stands for all.
          expect(got).toEqual(others.length < list.length ? others : [merged()]);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('is encoded once for all who get the same', () => {
    let times = 0;
    const parcel = new Parcel([{ from: 'a', message: Uint8Array.of(1) }], () => {
      times += 1;
      return Uint8Array.of(1);
    });
    const [b, c] = [parcel.for('b'), parcel.for('c')];
    expect(b[0]).toBe(c[0]);
    expect(parcel.for('a')).toEqual([]);
    expect(times).toBe(1);
  });
});

describe('a pace', () => {
  /** A watch that is put forward by hand: work says how long it takes. */
  function paced(options: Omit<PaceOptions, 'watch'>) {
    let time = 0;
    const pace = new Pace({ ...options, watch: () => time });
    const done: string[] = [];
    const work = (name: string, takes = 0) => ({
      work: () => {
        done.push(name);
        time += takes;
      },
    });
    return { pace, done, work, pass: (milliseconds: number) => (time += milliseconds) };
  }
  const turn = () => new Promise((next) => setImmediate(next));
  const rested = async (pace: Pace) => {
    while (!pace.idle) await turn();
  };

  it('lets the first work of an idle server wait for nothing but the input at hand', async () => {
    const { pace, done, work } = paced({ rest: 3, least: 0, most: 15 });
    pace.soon(work('first'));
    expect(done).toEqual([]);
    await Promise.resolve();
    expect(done).toEqual(['first']);
    expect(pace.idle).toBe(true);
  });

  it('does once what is asked for many times before its turn', async () => {
    const { pace, done, work } = paced({ rest: 3, least: 0, most: 15 });
    const same = work('same');
    for (let i = 0; i < 5; i++) pace.soon(same);
    await Promise.resolve();
    expect(done).toEqual(['same']);
  });

  it('gathers what comes while it rests from a long turn, and does it together', async () => {
    const { pace, done, work, pass } = paced({ rest: 3, least: 0, most: 15 });
    pace.soon(work('long', 4));
    await Promise.resolve();
    pass(1);
    for (const name of ['a', 'b', 'c']) pace.soon(work(name));
    await turn();
    // It rests for three times four; one has passed.
    expect(done).toEqual(['long']);
    await rested(pace);
    expect(done).toEqual(['long', 'a', 'b', 'c']);
  });

  it('does last things after all the work of the turn, also those that the work asks for', async () => {
    const { pace, done, work } = paced({ rest: 3, least: 0, most: 15 });
    const last = { last: () => done.push('last') };
    pace.soon({
      work: () => {
        done.push('asks');
        pace.afterwards(last);
      },
    });
    pace.soon(work('works'));
    await Promise.resolve();
    expect(done).toEqual(['asks', 'works', 'last']);
  });

  it('forgets what is dropped, and then has nothing to wake up for', async () => {
    const { pace, done, work, pass } = paced({ rest: 3, least: 40, most: 200 });
    pace.soon(work('first'));
    await Promise.resolve();
    pass(1);
    const dropped = work('dropped');
    pace.soon(dropped);
    expect(pace.idle).toBe(false);
    pace.drop(dropped);
    expect(pace.idle).toBe(true);
    expect(done).toEqual(['first']);
  });

  it('does work that is asked for in a turn in the next one', async () => {
    const { pace, done, work } = paced({ rest: 3, least: 0, most: 15 });
    pace.soon({ work: () => pace.soon(work('next')) });
    await Promise.resolve();
    await rested(pace);
    expect(done).toEqual(['next']);
  });
});
