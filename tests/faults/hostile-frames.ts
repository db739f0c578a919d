import * as encoding from 'lib0/encoding';
import * as Y from 'yjs';
import { LIMITS } from '../../lib/protocol';

/** Frames as somebody sends them who means harm or has a broken program; seeded, so that a run can be run again. */
export type Random = () => number;

export const frame = (write: (encoder: encoding.Encoder) => void): Uint8Array => {
  const encoder = encoding.createEncoder();
  write(encoder);
  return encoding.toUint8Array(encoder);
};
export const editFrame = (update: Uint8Array): Uint8Array =>
  frame((encoder) => {
    encoding.writeVarUint(encoder, 0);
    encoding.writeVarUint(encoder, 2);
    encoding.writeVarUint8Array(encoder, update);
  });
export const presenceText = (entries: readonly (readonly [number, number, string])[]): Uint8Array =>
  frame((encoder) => {
    encoding.writeVarUint(encoder, 1);
    encoding.writeVarUint8Array(
      encoder,
      frame((body) => {
        encoding.writeVarUint(body, entries.length);
        for (const [clientId, clock, text] of entries) {
          encoding.writeVarUint(body, clientId);
          encoding.writeVarUint(body, clock);
          encoding.writeVarString(body, text);
        }
      }),
    );
  });
/** Answered with what stands in the room: whoever hears the answer knows that all before was read. */
export const ASK_PRESENCE = new Uint8Array([3]);

const whole = (random: Random, below: number): number => Math.floor(random() * below);
const pick = <T>(random: Random, list: readonly T[]): T => {
  const one = list[whole(random, list.length)];
  if (one === undefined) throw new Error('nothing to pick from');
  return one;
};

/** The updates of a few ordinary edits by a client of that number. */
function edits(random: Random, clientId: number, count: number): Uint8Array[] {
  const doc = new Y.Doc();
  doc.clientID = clientId;
  const updates: Uint8Array[] = [];
  doc.on('update', (update: Uint8Array) => updates.push(update));
  for (let i = 0; i < count; i++) doc.getMap('hostile').set(`k${whole(random, 9)}`, random());
  doc.destroy();
  return updates;
}

/** As deep as a frame can nest it. */
export function nested(depth: number): Uint8Array {
  const doc = new Y.Doc();
  let value: unknown = 1;
  for (let i = 0; i < depth; i++) value = [value];
  doc.getMap('hostile').set('deep', value);
  return Y.encodeStateAsUpdate(doc);
}

export interface Victim {
  /** The number under which an honest page writes, and its document so far. */
  readonly clientId: number;
  readonly update: Uint8Array;
}

export interface HostileFrame {
  readonly what: string;
  readonly data: Uint8Array | string;
}

/** One frame of one of the kinds; `victim` is somebody in the same room. */
export function hostileFrame(random: Random, victim: Victim): HostileFrame {
  const own = 1 + whole(random, 2 ** 31);
  const valid = () => editFrame(pick(random, edits(random, own, 4)));
  const kinds: readonly (() => HostileFrame)[] = [
    () => ({
      what: 'noise',
      data: Uint8Array.from({ length: 1 + whole(random, 90) }, () => whole(random, 256)),
    }),
    () => ({
      what: 'noise under a known type',
      data: Uint8Array.from({ length: 2 + whole(random, 60) }, (_, i) =>
        i === 0 ? whole(random, 4) : i === 1 ? whole(random, 3) : whole(random, 256),
      ),
    }),
    () => {
      const bytes = valid();
      return { what: 'truncated', data: bytes.slice(0, 1 + whole(random, bytes.length - 1)) };
    },
    () => ({
      what: 'with bytes changed',
      data: valid().map((byte, i) => (i > 2 && random() < 0.08 ? whole(random, 256) : byte)),
    }),
    () => ({ what: 'longer than it says', data: new Uint8Array([...valid(), whole(random, 256)]) }),
    // What an honest page wrote long ago, once more.
    () => ({ what: 'replayed', data: editFrame(victim.update) }),
    // The last of several edits without the ones before.
    () => ({ what: 'out of order', data: editFrame(edits(random, own, 5).at(-1) ?? new Uint8Array()) }),
    // Other edits under the number of an honest page, at places where its own stand.
    () => ({
      what: 'forged number',
      data: editFrame(edits(random, victim.clientId, 1)[0] ?? new Uint8Array()),
    }),
    () => ({
      what: 'forged presence',
      data: presenceText([[victim.clientId, 1000 + whole(random, 1000), '{"name":"somebody else"}']]),
    }),
    () => ({
      what: 'presence that is no object',
      data: presenceText([[own, 1, pick(random, ['[]', '1e999', '"x"', '{', 'NaN', '{"a":}', ''])]]),
    }),
    () => ({
      what: 'presence without end',
      data: presenceText([[own, 1, `{"x":"${'x'.repeat(LIMITS.presence)}"}`]]),
    }),
    () => ({
      what: 'presence nested deep',
      data: presenceText([[own, 1, `{"x":${'['.repeat(2000)}${']'.repeat(2000)}}`]]),
    }),
    () => ({
      what: 'presences without number',
      data: presenceText(Array.from({ length: LIMITS.presences + 1 }, (_, i) => [i, 1, '{}'] as const)),
    }),
    () => ({
      what: 'a number of parts that is not there',
      data: editFrame(new Uint8Array([255, 255, 255, 255, 15, 1, 1, 1])),
    }),
    () => ({ what: 'nested deep', data: editFrame(nested(500)) }),
    () => ({ what: 'text', data: pick(random, ['', 'hello', '{"type":"sync"}', '\u0000']) }),
    () => ({ what: 'nothing', data: new Uint8Array() }),
  ];
  if (random() < 0.004) return { what: 'oversized', data: new Uint8Array(LIMITS.frame + 1) };
  return pick(random, kinds)();
}
