import fc from 'fast-check';
import * as encoding from 'lib0/encoding';
import { describe, expect, it } from 'vitest';
import { Awareness, encodeAwarenessUpdate } from 'y-protocols/awareness';
import * as syncProtocol from 'y-protocols/sync';
import * as Y from 'yjs';
import { keptFrame, presenceFrame, readFrame, step2Frame, updateFrame } from '../../../server/sync/frames';
import { Presence, type PresenceOwner } from '../../../server/sync/presence';

const frame = (write: (encoder: encoding.Encoder) => void) => encoding.encode(write);
const doc = new Y.Doc();
doc.getMap('m').set('a', 1);

// Reference library: y-protocols, by which every frame here that should be read is written.
describe('frames', () => {
  it('are read as the protocol’s own library writes them', () => {
    const step1 = frame((encoder) => {
      encoding.writeVarUint(encoder, 0);
      syncProtocol.writeSyncStep1(encoder, doc);
    });
    expect(readFrame(step1)).toMatchObject({ kind: 'step 1', stateVector: Y.encodeStateVector(doc) });
    const step2 = frame((encoder) => {
      encoding.writeVarUint(encoder, 0);
      syncProtocol.writeSyncStep2(encoder, doc);
    });
    expect(readFrame(step2)).toMatchObject({ kind: 'edits', update: Y.encodeStateAsUpdate(doc) });
    expect(step2Frame(doc, Y.encodeStateVector(new Y.Doc()))).toEqual(step2);
    const update = frame((encoder) => {
      encoding.writeVarUint(encoder, 0);
      syncProtocol.writeUpdate(encoder, Y.encodeStateAsUpdate(doc));
    });
    expect(readFrame(update)).toMatchObject({ kind: 'edits' });
    expect(updateFrame(Y.encodeStateAsUpdate(doc))).toEqual(update);
    const awareness = new Awareness(doc);
    awareness.setLocalState({ at: 'bar 3' });
    const presence = frame((encoder) => {
      encoding.writeVarUint(encoder, 1);
      encoding.writeVarUint8Array(encoder, encodeAwarenessUpdate(awareness, [doc.clientID]));
    });
    const read = readFrame(presence);
    expect(read).toEqual({
      kind: 'presence',
      entries: [{ clientId: doc.clientID, clock: 1, state: { at: 'bar 3' } }],
    });
    if (read?.kind === 'presence') expect(presenceFrame(read.entries)).toEqual(presence);
    awareness.destroy();
    expect(readFrame(new Uint8Array([3]))).toEqual({ kind: 'ask presence' });
  });

  it('say how many are kept as their number and a variable-length integer', () => {
    expect([...keptFrame(1)]).toEqual([100, 1]);
    expect([...keptFrame(300)]).toEqual([100, 0b1010_1100, 0b10]);
  });

  it('that are cut short, run on, or are anything else are malformed, and never throw', () => {
    const whole = updateFrame(Y.encodeStateAsUpdate(doc));
    for (let length = 0; length < whole.length; length++)
      expect(readFrame(whole.slice(0, length))).toBeNull();
    expect(readFrame(new Uint8Array([...whole, 0]))).toBeNull();
    expect(readFrame(new Uint8Array([2]))).toBeNull();
    expect(readFrame(new Uint8Array([0, 7, 0]))).toBeNull();
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        const read = readFrame(bytes);
        // What is let through can be applied.
        if (read?.kind === 'edits') Y.applyUpdate(new Y.Doc(), read.update);
      }),
      { numRuns: 2000 },
    );
    fc.assert(
      fc.property(fc.nat(whole.length - 1), fc.nat(255), (at, value) => {
        const changed = whole.slice();
        changed[at] = value;
        expect(() => readFrame(changed)).not.toThrow();
      }),
      { numRuns: 1000 },
    );
  });

  it.each([['[1]'], ['"text"'], ['7'], ['{'], [`{"a":"${'x'.repeat(5000)}"}`]])(
    'with a presence of %s are malformed',
    (text) => {
      const body = frame((encoder) => {
        encoding.writeVarUint(encoder, 1);
        encoding.writeVarUint(encoder, 5);
        encoding.writeVarUint(encoder, 1);
        encoding.writeVarString(encoder, text);
      });
      const whole = frame((encoder) => {
        encoding.writeVarUint(encoder, 1);
        encoding.writeVarUint8Array(encoder, body);
      });
      expect(readFrame(whole)).toBeNull();
    },
  );
});

describe('presence', () => {
  const owner = (sessionId: string): PresenceOwner => ({
    sessionId,
    playerId: `of ${sessionId}`,
    kind: 'player',
  });
  const entry = (clientId: number, clock: number, state: Record<string, unknown> | null = { at: clock }) => ({
    clientId,
    clock,
    state,
  });

  it('lets nobody speak for another, nor for two', () => {
    const presence = new Presence();
    const [a, b] = [owner('a'), owner('b')];
    expect(presence.take(a, [entry(1, 1)])).toHaveLength(1);
    expect(presence.take(b, [entry(1, 5), entry(1, 5, null)])).toEqual([]);
    expect(presence.take(a, [entry(2, 1)])).toEqual([]);
    expect(presence.all()).toEqual([
      { clientId: 1, clock: 1, state: { at: 1, playerId: 'of a', kind: 'player' } },
    ]);
  });

  it('is not brought back by an echo, and is by a newer word', () => {
    const presence = new Presence();
    const [a, b, again] = [owner('a'), owner('b'), owner('a')];
    presence.take(a, [entry(1, 3)]);
    expect(presence.leave(a)).toEqual([1]);
    expect(presence.entry(1)).toEqual({ clientId: 1, clock: 3, state: null });
    expect(presence.take(b, [entry(1, 3), entry(1, 3, null)])).toEqual([]);
    expect(presence.all()).toEqual([]);
    expect(presence.take(again, [entry(1, 4)])).toHaveLength(1);
  });

  it('passes to a new socket of the same session, and stays when the old one closes', () => {
    const presence = new Presence();
    const [old, fresh] = [owner('a'), owner('a')];
    presence.take(old, [entry(1, 1)]);
    expect(presence.take(fresh, [entry(1, 2)])).toHaveLength(1);
    expect(presence.leave(old)).toEqual([]);
    expect(presence.all()).toHaveLength(1);
    expect(presence.leave(fresh)).toHaveLength(1);
  });

  it('goes when its owner says so', () => {
    const presence = new Presence();
    const a = owner('a');
    presence.take(a, [entry(1, 1)]);
    expect(presence.take(a, [entry(1, 1, null)])).toEqual([1]);
    expect(presence.entry(1)).toEqual({ clientId: 1, clock: 1, state: null });
    expect(presence.everything()).toEqual([{ clientId: 1, clock: 1, state: null }]);
    expect(presence.leave(a)).toEqual([]);
  });
});
