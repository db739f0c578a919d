import * as encoding from 'lib0/encoding';
import { afterEach, describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { makeIds, randomFrom } from '../../../lib/base';
import { BandEdits, KEPT_FOR_DAYS, readBand } from '../../../lib/document';
import { bandDocument, LIMITS } from '../../../lib/protocol';
import { memoryStore } from '../../../server/store';
import { mergeUpdates } from '../../../server/sync/merge';
import { closed, cuttable, gated, lineThrough, neverReads, TestServer, until } from './harness';

let server: TestServer;
afterEach(async () => {
  await server.stop();
});

const words = (doc: Y.Doc) => doc.getMap<string>('test');

async function scene(options: Parameters<typeof TestServer.start>[0] = {}) {
  server = await TestServer.start(options);
  const { band, cookie } = await server.newBand();
  return { cookie, band, name: bandDocument(band.bandId) };
}

/** Frames of that socket that bear edits (sync step 2 and update), from now on. */
function updatesOf(socket: ReturnType<TestServer['socket']>): Uint8Array[] {
  const updates: Uint8Array[] = [];
  socket.on('message', (data: Buffer) => {
    if (data[0] === 0 && data[1] === 2) updates.push(new Uint8Array(data));
  });
  return updates;
}

const editFrame = (update: Uint8Array): Uint8Array =>
  encoding.encode((encoder) => {
    encoding.writeVarUint(encoder, 0);
    encoding.writeVarUint(encoder, 2);
    encoding.writeVarUint8Array(encoder, update);
  });

/** Edits of one new page: each sets its own word. */
function edits(count: number, by: string): Uint8Array[] {
  const doc = new Y.Doc();
  const updates: Uint8Array[] = [];
  doc.on('update', (update: Uint8Array) => updates.push(update));
  for (let i = 0; i < count; i++) words(doc).set(`${by} ${i}`, String(i));
  return updates;
}

describe('an edit', () => {
  it('goes to everybody in one frame as long as nothing else is going on, and never back', async () => {
    const { name, cookie } = await scene();
    const [maker, reader] = [server.socket(name, cookie), server.socket(name, cookie)];
    await Promise.all([maker, reader].map((socket) => new Promise((done) => socket.once('message', done))));
    const [back, there] = [updatesOf(maker), updatesOf(reader)];
    const made = edits(5, 'a');
    for (const [i, update] of made.entries()) {
      maker.send(editFrame(update));
      await until(() => there.length === i + 1);
    }
    expect(there).toEqual(made.map(editFrame));
    expect(back).toEqual([]);
    maker.terminate();
    reader.terminate();
  });

  it('of many at once reaches everybody, whole, by fewer frames, and never comes back', async () => {
    const store = memoryStore(mergeUpdates);
    const { name, cookie } = await scene({ store });
    const sockets = Array.from({ length: 8 }, () => server.socket(name, cookie));
    await Promise.all(sockets.map((socket) => new Promise((done) => socket.once('message', done))));
    const got = sockets.map(updatesOf);
    const made = sockets.map((_socket, i) => (i < 4 ? edits(100, `page ${i}`) : []));
    for (let i = 0; i < 100; i++)
      for (const [who, socket] of sockets.entries()) {
        const update = made[who]?.[i];
        if (update !== undefined) socket.send(editFrame(update));
      }
    // What a page has: its own edits, and what came.
    const docs = sockets.map((_socket, who) => {
      const doc = new Y.Doc();
      for (const update of made[who] ?? []) Y.applyUpdate(doc, update);
      return doc;
    });
    const applied = sockets.map(() => 0);
    await until(() => {
      for (const [who, frames] of got.entries())
        for (; (applied[who] ?? 0) < frames.length; applied[who] = (applied[who] ?? 0) + 1) {
          const doc = docs[who];
          const frame = frames[applied[who] ?? 0];
          if (doc && frame) Y.applyUpdate(doc, bodyOf(frame));
        }
      return docs.every((doc) => words(doc).size === 400);
    });
    // Listeners to all of it get it in fewer frames than there were edits.
    for (const frames of got.slice(4)) expect(frames.length).toBeLessThan(400);
    // None of a maker's own edits is in what it got.
    for (const [who, frames] of got.slice(0, 4).entries()) {
      const others = new Y.Doc();
      for (const frame of frames) Y.applyUpdate(others, bodyOf(frame));
      expect(words(others).size).toBe(300);
      expect([...words(others).keys()].filter((key) => key.startsWith(`page ${who} `))).toEqual([]);
    }
    const kept = new Y.Doc();
    await until(() => server.composed.rooms.paces.edits.idle && server.composed.rooms.paces.kept.idle);
    Y.applyUpdate(kept, mergeUpdates((await store.load(name))?.updates ?? []));
    expect(words(kept).size).toBe(400);
    for (const socket of sockets) socket.terminate();
  });

  it('that frees what another was waiting for brings both to everybody, its maker too', async () => {
    const { name, cookie } = await scene();
    const [first, second] = [server.socket(name, cookie), server.socket(name, cookie)];
    await Promise.all([first, second].map((socket) => new Promise((done) => socket.once('message', done))));
    const [one, two] = edits(2, 'a');
    if (!one || !two) throw new Error('two edits');
    const got = updatesOf(second);
    const gotFirst = updatesOf(first);
    first.send(editFrame(two));
    await new Promise((done) => {
      first.on('message', (data: Buffer) => {
        if (data[0] === 100 && data[1] === 1) done(null);
      });
    });
    expect(got).toEqual([]);
    second.send(editFrame(one));
    await until(() => got.length > 0 && gotFirst.length > 0);
    for (const frames of [got, gotFirst]) {
      const doc = new Y.Doc();
      for (const frame of frames) Y.applyUpdate(doc, bodyOf(frame));
      expect(words(doc).size).toBe(2);
    }
    first.terminate();
    second.terminate();
  });
});

function bodyOf(frame: Uint8Array): Uint8Array {
  let at = 2;
  while ((frame[at] ?? 0) >= 128) at += 1;
  return frame.subarray(at + 1);
}

describe('the end of a room', () => {
  it('leaves no room, no timer, no socket and no listener', async () => {
    const gate = gated();
    const kinds = ['Timeout', 'Immediate', 'TCPSocketWrap', 'TCPServerWrap'];
    const alive = () => process.getActiveResourcesInfo().filter((kind) => kinds.includes(kind)).length;
    const before = alive();
    const { name, cookie } = await scene({ store: gate.store, signOfLifeMilliseconds: 60_000 });
    const { rooms, sync } = server.composed;
    const idle = () => rooms.paces.edits.idle && rooms.paces.kept.idle && rooms.paces.presence.idle;
    const doc = new Y.Doc();
    for (const how of ['close', 'terminate', 'failed'] as const) {
      const sockets = Array.from({ length: 6 }, () => server.socket(name, cookie));
      for (const socket of sockets) socket.on('error', () => {});
      await Promise.all(sockets.map((socket) => new Promise((done) => socket.once('message', done))));
      expect(rooms.count).toBe(1);
      const codes = sockets.map(closed);
      if (how === 'failed') gate.breakDown(true);
      doc.once('update', (update: Uint8Array) => {
        for (const socket of sockets) socket.send(editFrame(update));
      });
      words(doc).set('bar', how);
      if (how === 'close') for (const socket of sockets) socket.close();
      if (how === 'terminate') for (const socket of sockets) socket.terminate();
      const ends = await Promise.all(codes);
      if (how === 'failed') expect(ends).toEqual(sockets.map(() => 4510));
      await until(() => rooms.count === 0 && sync.connectionCount === 0 && sync.backlog === 0 && idle());
      gate.breakDown(false);
    }
    await server.stop();
    await until(() => alive() <= before);
  });

  it('frees a document that could not be loaded', async () => {
    const gate = gated();
    const { name, cookie } = await scene({ store: gate.store });
    gate.failLoads(true);
    expect(await closed(server.socket(name, cookie))).toBe(4500);
    await until(() => server.composed.rooms.count === 0 && server.composed.sync.connectionCount === 0);
  });
});

describe('a reader who falls behind', () => {
  it('is bounded, holds up nobody, and is sent all that it lacks when it reads again', async () => {
    const { name, cookie } = await scene({ signOfLifeMilliseconds: 60_000 });
    const maker = server.open(name, cookie);
    const reader = server.open(name, cookie);
    await Promise.all([maker.settled, reader.settled]);
    await until(() => maker.status.getSnapshot().state === 'kept');
    const slow = server.socket(name, cookie);
    await new Promise((done) => slow.once('message', done));
    slow.pause();
    const got = updatesOf(slow);
    let most = 0;
    // Far more than the line and the limit hold, of which most is gone again.
    const filler = 'la '.repeat(100_000);
    for (let i = 0; i < 60; i++) {
      words(maker.doc).set('refrain', `${i} ${filler}`);
      await until(() => maker.status.getSnapshot().state === 'kept');
      most = Math.max(most, server.composed.sync.backlog);
    }
    words(maker.doc).set('refrain', 'short');
    words(maker.doc).set('last', 'one');
    await until(() => words(reader.doc).get('last') === 'one');
    // Sixty of 300 kB are 18 MB. What waits is the limit, and the one edit that went beyond it.
    expect(most).toBeGreaterThan(LIMITS.unsent);
    expect(most).toBeLessThan(LIMITS.unsent + 2 * filler.length);
    slow.resume();
    const doc = new Y.Doc();
    let at = 0;
    await until(() => {
      for (; at < got.length; at++) {
        const frame = got[at];
        if (frame) Y.applyUpdate(doc, bodyOf(frame));
      }
      return words(doc).get('last') === 'one';
    });
    expect(words(doc).toJSON()).toEqual(words(maker.doc).toJSON());
    // It did not get each of them.
    expect(got.length).toBeLessThan(60);
    expect(slow.readyState).toBe(slow.OPEN);
    slow.terminate();
  });

  it('and never reads again is let go, and disturbs nobody', async () => {
    const { name, cookie } = await scene({ signOfLifeMilliseconds: 40 });
    const maker = server.open(name, cookie);
    await maker.settled;
    const refusals = new Set<string | undefined>();
    maker.status.subscribe(() => refusals.add(maker.status.getSnapshot().problem?.code));
    const count = server.composed.sync.connectionCount;
    const dead = await neverReads(server.port, name, cookie);
    const gone = new Promise((done) => dead.once('close', done));
    // While it still reads nothing, the server sees that it does not answer.
    await until(() => server.composed.sync.connectionCount === count);
    dead.resume();
    await gone;
    words(maker.doc).set('still', 'here');
    await until(() => maker.status.getSnapshot().state === 'kept');
    expect([...refusals].filter((code) => code !== undefined)).toEqual([]);
  });
});

describe('a line that is cut', () => {
  it('without a word is noticed, and whoever was on it is gone for the others', async () => {
    const { name, cookie } = await scene({ signOfLifeMilliseconds: 40 });
    const here = server.open(name, cookie);
    const proxy = await lineThrough(server.port);
    const away = server.open(name, cookie, { origin: proxy.origin, longestWait: 60_000 });
    await Promise.all([here.settled, away.settled]);
    away.awareness.setLocalState({ at: 'bar 3' });
    const ofAway = () => here.awareness.getStates().get(away.doc.clientID);
    await until(() => ofAway() !== undefined);
    proxy.hush();
    await until(() => ofAway() === undefined && server.composed.sync.connectionCount === 1);
    proxy.close();
  });

  it('does not end the newer one of the same page when the old one is found dead', async () => {
    const { name, cookie } = await scene({ signOfLifeMilliseconds: 40 });
    const here = server.open(name, cookie);
    const proxy = await lineThrough(server.port);
    const doc = new Y.Doc();
    const old = server.open(name, cookie, {
      doc,
      origin: proxy.origin,
      longestWait: 60_000,
    });
    await Promise.all([here.settled, old.settled]);
    old.awareness.setLocalState({ at: 'bar 3' });
    const seen = () => here.awareness.getStates().get(doc.clientID);
    await until(() => seen()?.at === 'bar 3');
    proxy.hush();
    // The page is back by another line, under the same client id, before the server knows that the old one is dead.
    const fresh = server.open(name, cookie, { doc });
    fresh.awareness.setLocalState({ at: 'bar 4' });
    fresh.awareness.setLocalState({ at: 'bar 5' });
    await until(() => seen()?.at === 'bar 5');
    const left: unknown[] = [];
    here.awareness.on('change', ({ removed }: { removed: number[] }) => left.push(...removed));
    await until(() => server.composed.sync.connectionCount === 2);
    words(doc).set('new', 'line');
    await until(() => words(here.doc).get('new') === 'line' && fresh.status.getSnapshot().state === 'kept');
    expect(left).toEqual([]);
    expect(seen()?.at).toBe('bar 5');
    proxy.close();
  });
});

describe('coming back', () => {
  it('waits anywhere up to a doubled step, so that a band does not come back at one moment', async () => {
    const { name, cookie } = await scene();
    const cut = cuttable(cookie);
    const asked: number[] = [];
    let share = 0;
    const page = server.open(name, cookie, {
      sockets: cut.sockets,
      longestWait: 8,
      random: () => {
        asked.push(share);
        share = (share + 0.37) % 1;
        return share;
      },
    });
    await page.settled;
    cut.down(true);
    cut.cut();
    await until(() => asked.length > 5);
    cut.down(false);
    await until(() => page.status.getSnapshot().state === 'kept');
    // Each wait was drawn anew.
    expect(new Set(asked).size).toBe(asked.length);
  });
});

describe('a document that is opened', () => {
  it('is cleaned of what nobody has seen for long, in the store too', async () => {
    const DAY = 24 * 3600 * 1000;
    let now = 1_760_000_000_000;
    const store = memoryStore(mergeUpdates);
    const { name } = await scene({ store, clock: () => now });
    const { rooms } = server.composed;
    const namesIn = async () => {
      const stored = new Y.Doc();
      for (const update of (await store.load(name))?.updates ?? []) Y.applyUpdate(stored, update);
      return JSON.stringify(stored.getMap('players').toJSON());
    };
    const open = () => rooms.read(name, (doc) => readBand(doc).band.players.map((player) => player.name));
    await rooms.edit(name, (doc) => {
      const edits = new BandEdits(doc, { by: null, now: () => now, makeId: makeIds(randomFrom(3)) });
      for (const each of ['Stays', 'Goes']) {
        const added = edits.addPlayer({
          name: each,
          initials: each.slice(0, 2),
          instruments: ['guitar'],
          sings: 'none',
          rule: 'toward',
          comfortEighthsPerMinute: null,
          spanMillimetres: null,
          range: null,
          ink: 0,
        });
        if (added.ok && each === 'Goes') edits.removePlayer(added.value);
      }
    });
    await rooms.settle();
    expect(await open()).toEqual(['Ada Q', 'Stays']);
    await rooms.settle();
    now += (KEPT_FOR_DAYS - 1) * DAY;
    await open();
    await rooms.settle();
    expect(await namesIn()).toContain('Goes');
    now += DAY;
    expect(await open()).toEqual(['Ada Q', 'Stays']);
    await rooms.settle();
    expect(await namesIn()).not.toContain('Goes');
    expect(await namesIn()).toContain('Stays');
  });
});
