import { afterEach, describe, expect, it, vi } from 'vitest';
import { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { bandDocument, songDocument } from '../../../lib/protocol';
import { memoryStore } from '../../../server/store';
import { mergeUpdates } from '../../../server/sync/merge';
import { socketsWith } from '../../sockets';
import { closed, cuttable, gated, TestServer, until } from './harness';

let server: TestServer;
afterEach(async () => {
  await server.stop();
});

const words = (doc: Y.Doc) => doc.getMap<string>('test');
const storedWords = async (
  store: { load(name: string): Promise<{ updates: readonly Uint8Array[] } | null> },
  name: string,
) => {
  const doc = new Y.Doc();
  Y.applyUpdate(doc, mergeUpdates((await store.load(name))?.updates ?? []));
  return words(doc).toJSON();
};

describe('two pages on one document', () => {
  it('come to the same, and both say kept', async () => {
    server = await TestServer.start();
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const a = server.open(name, cookie);
    const b = server.open(name, cookie);
    await Promise.all([a.settled, b.settled]);
    words(a.doc).set('a', 'from a');
    words(b.doc).set('b', 'from b');
    await until(() => words(a.doc).size === 2 && words(b.doc).size === 2);
    expect(words(a.doc).toJSON()).toEqual(words(b.doc).toJSON());
    await until(() => a.status.getSnapshot().state === 'kept' && b.status.getSnapshot().state === 'kept');
    expect(a.status.getSnapshot()).toMatchObject({
      state: 'kept',
      loaded: true,
      mayEdit: true,
      problem: null,
    });
  });

  // Reference library: y-websocket, whose own provider is the other side here.
  it('speaks to the protocol’s own provider as it is', async () => {
    server = await TestServer.start();
    const unknown = vi.spyOn(console, 'error').mockImplementation(() => {});
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const providers = [0, 1].map(
      () =>
        new WebsocketProvider(`ws://127.0.0.1:${server.port}/sync`, name, new Y.Doc(), {
          WebSocketPolyfill: socketsWith(cookie),
          disableBc: true,
        }),
    );
    await until(() => providers.every((provider) => provider.synced));
    const [first, second] = providers;
    if (!first || !second) throw new Error('two providers');
    first.awareness.setLocalState({ at: 'verse' });
    words(first.doc).set('from', 'the provider');
    await until(() => words(second.doc).get('from') === 'the provider');
    await until(() => second.awareness.getStates().size === 2);
    expect(second.awareness.getStates().get(first.doc.clientID)).toEqual({
      at: 'verse',
      playerId: band.playerId,
      kind: 'player',
    });
    for (const provider of providers) provider.destroy();
    for (const provider of providers) provider.awareness.destroy();
    unknown.mockRestore();
  });

  it('merges what both did while the server was away', async () => {
    const store = memoryStore();
    server = await TestServer.start({ store });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const a = server.open(name, cookie);
    const b = server.open(name, cookie);
    await Promise.all([a.settled, b.settled]);
    const { port } = server;
    const old = server;
    await old.pullThePlug();
    await until(
      () => a.status.getSnapshot().state === 'offline' && b.status.getSnapshot().state === 'offline',
    );
    words(a.doc).set('a', 'made offline');
    words(b.doc).set('b', 'made offline');
    server = await TestServer.start({ store }, port);
    await until(() => words(a.doc).size === 2 && words(b.doc).size === 2);
    await until(() => a.status.getSnapshot().state === 'kept' && b.status.getSnapshot().state === 'kept');
    expect(await storedWords(store, name)).toEqual({ a: 'made offline', b: 'made offline' });
    old.destroyClients();
  });
});

describe('kept', () => {
  it('is said only when the edit is committed, and only to the page that made it', async () => {
    const gate = gated();
    server = await TestServer.start({ store: gate.store });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const a = server.open(name, cookie);
    const b = server.open(name, cookie);
    await Promise.all([a.settled, b.settled]);
    await until(() => a.status.getSnapshot().state === 'kept' && b.status.getSnapshot().state === 'kept');
    gate.shut();
    words(a.doc).set('bar', 'five');
    expect(a.status.getSnapshot().state).toBe('keeping');
    // The other page sees it before it is kept.
    await until(() => words(b.doc).get('bar') === 'five');
    expect(a.status.getSnapshot().state).toBe('keeping');
    expect(b.status.getSnapshot().state).toBe('kept');
    expect(await storedWords(gate.store, name)).toEqual({});
    gate.open();
    await until(() => a.status.getSnapshot().state === 'kept');
    expect(await storedWords(gate.store, name)).toEqual({ bar: 'five' });
  });

  it('waits for an edit that another page sent first and that is still on its way to the disk', async () => {
    const gate = gated();
    server = await TestServer.start({ store: gate.store });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const a = server.open(name, cookie);
    await a.settled;
    await until(() => a.status.getSnapshot().state === 'kept');
    gate.shut();
    words(a.doc).set('bar', 'five');
    // A page that already has the edit, so that its step 2 brings nothing new.
    const doc = new Y.Doc();
    Y.applyUpdate(doc, Y.encodeStateAsUpdate(a.doc));
    const b = server.open(name, cookie, { doc });
    await b.settled;
    expect(b.status.getSnapshot().state).toBe('keeping');
    gate.open();
    await until(() => b.status.getSnapshot().state === 'kept');
    expect(await storedWords(gate.store, name)).toEqual({ bar: 'five' });
  });

  it('holds for edits whose foundations are still missing', async () => {
    const store = memoryStore();
    server = await TestServer.start({ store });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const source = new Y.Doc();
    const updates: Uint8Array[] = [];
    source.on('update', (update: Uint8Array) => updates.push(update));
    words(source).set('one', '1');
    words(source).set('two', '2');
    const [one, two] = updates;
    if (!one || !two) throw new Error('two updates');
    const a = server.open(name, cookie);
    await a.settled;
    Y.applyUpdate(a.doc, two);
    // Nothing of it can be shown yet; the page's document does not pass it on, so it is sent by hand.
    const socket = server.socket(name, cookie);
    await new Promise((done) => socket.once('open', done));
    const kept = new Promise<number>((done) => {
      socket.on('message', (data: Buffer) => {
        if (data[0] === 100 && data[1] !== 0) done(data[1] ?? 0);
      });
    });
    socket.send(new Uint8Array([0, 2, two.length, ...two]));
    expect(await kept).toBe(1);
    expect(await storedWords(store, name)).toEqual({});
    // With the foundation that comes years later, what was called kept is there.
    await store.append(name, one);
    expect(await storedWords(store, name)).toEqual({ one: '1', two: '2' });
    socket.terminate();
  });

  it('is not said where the store fails; the edit stays in the page and is kept when the store is well', async () => {
    const gate = gated();
    server = await TestServer.start({ store: gate.store });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const a = server.open(name, cookie);
    await a.settled;
    await until(() => a.status.getSnapshot().state === 'kept');
    gate.breakDown(true);
    const states = new Set<string>();
    const problems = new Set<string | undefined>();
    a.status.subscribe(() => {
      states.add(a.status.getSnapshot().state);
      problems.add(a.status.getSnapshot().problem?.code);
    });
    words(a.doc).set('bar', 'nine');
    await until(() => problems.has('not kept'));
    expect(states.has('kept')).toBe(false);
    gate.breakDown(false);
    await until(() => a.status.getSnapshot().state === 'kept');
    expect(await storedWords(gate.store, name)).toEqual({ bar: 'nine' });
  });
});

describe('rooms', () => {
  it('share one load between two arrivals, send nothing before it, and leave nothing behind', async () => {
    const gate = gated();
    server = await TestServer.start({ store: gate.store });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const before = gate.loads();
    const a = server.open(name, cookie);
    const b = server.open(name, cookie);
    await Promise.all([a.settled, b.settled]);
    expect(gate.loads() - before).toBe(1);
    expect(server.composed.rooms.count).toBe(1);
    a.destroy();
    b.destroy();
    await until(() => server.composed.rooms.count === 0);
    expect(server.composed.sync.connectionCount).toBe(0);
  });

  it('fail as a whole where the load fails, and are tried anew', async () => {
    const gate = gated();
    server = await TestServer.start({ store: gate.store });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    gate.failLoads(true);
    const socket = server.socket(name, cookie);
    const frames: unknown[] = [];
    socket.on('message', (data) => frames.push(data));
    expect(await closed(socket)).toBe(4500);
    expect(frames).toEqual([]);
    const a = server.open(name, cookie);
    await until(() => a.status.getSnapshot().problem?.code === 'not loaded');
    expect(a.status.getSnapshot().loaded).toBe(false);
    gate.failLoads(false);
    await a.settled;
    expect(a.status.getSnapshot().loaded).toBe(true);
  });

  it('put a snapshot in the place of many updates when they empty, and lose nothing', async () => {
    const store = memoryStore(mergeUpdates);
    server = await TestServer.start({ store });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const a = server.open(name, cookie);
    await a.settled;
    for (let i = 0; i < 120; i++) {
      words(a.doc).set(`word ${i % 7}`, String(i));
      await until(() => a.status.getSnapshot().state === 'kept');
    }
    const shown = words(a.doc).toJSON();
    expect((await store.load(name))?.sinceSnapshot).toBeGreaterThan(100);
    a.destroy();
    await until(() => server.composed.rooms.count === 0);
    expect((await store.load(name))?.sinceSnapshot).toBe(0);
    expect(await storedWords(store, name)).toEqual(shown);
  });

  it('wait for a closing room, so that a page that comes back at once finds everything', async () => {
    const gate = gated();
    server = await TestServer.start({ store: gate.store });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const a = server.open(name, cookie);
    await a.settled;
    await until(() => a.status.getSnapshot().state === 'kept');
    gate.shut();
    const socket = server.socket(name, cookie);
    words(a.doc).set('bar', 'last');
    await until(() => a.status.getSnapshot().state === 'keeping');
    await new Promise((done) => socket.once('message', done));
    a.destroy();
    socket.terminate();
    await until(() => server.composed.sync.connectionCount === 0);
    const b = server.open(name, cookie);
    const refusals = new Set<string>();
    b.status.subscribe(() => refusals.add(b.status.getSnapshot().problem?.code ?? 'none'));
    gate.open();
    await b.settled;
    expect(words(b.doc).get('bar')).toBe('last');
    expect([...refusals]).toEqual(['none']);
  });
});

describe('who may', () => {
  it('drops what a listener sends, whole, and never calls it kept', async () => {
    const store = memoryStore();
    server = await TestServer.start({ store });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const listener = server.open(name, await server.enterBy(band.links.listener.path));
    const player = server.open(name, cookie);
    await Promise.all([listener.settled, player.settled]);
    await until(() => listener.status.getSnapshot().state === 'kept');
    expect(listener.status.getSnapshot().mayEdit).toBe(false);
    words(listener.doc).set('mine', 'not allowed');
    expect(listener.status.getSnapshot().state).toBe('keeping');
    words(player.doc).set('ours', 'allowed');
    await until(() => words(listener.doc).get('ours') === 'allowed');
    await until(() => player.status.getSnapshot().state === 'kept');
    expect(words(player.doc).toJSON()).toEqual({ ours: 'allowed' });
    expect(await storedWords(store, name)).toEqual({ ours: 'allowed' });
    expect(listener.status.getSnapshot().state).toBe('keeping');
  });

  it.each([
    ['without a session', 4401],
    ['with a forged session', 4401],
    ['of another band', 4403],
    ['of no document', 4404],
    ['of no such song', 4404],
  ] as const)('closes a socket %s', async (which, code) => {
    server = await TestServer.start();
    const { band, cookie } = await server.newBand();
    const other = await server.newBand();
    const forged = `${cookie.slice(0, -4)}AAAA`;
    const name = bandDocument(band.bandId);
    const socket = {
      'without a session': () => server.socket(name, null),
      'with a forged session': () => server.socket(name, forged),
      'of another band': () => server.socket(name, other.cookie),
      'of no document': () => server.socket('nothing', cookie),
      'of no such song': () => server.socket(songDocument(band.bandId, 'none'), cookie),
    }[which]();
    expect(await closed(socket)).toBe(code);
    await until(() => server.composed.rooms.count === 0);
  });

  it('stops for good in a page that is not allowed, and says why', async () => {
    server = await TestServer.start();
    const { band } = await server.newBand();
    const a = server.open(bandDocument(band.bandId), null);
    const status = await a.settled;
    expect(status.state).toBe('not allowed');
    expect(status.problem?.code).toBe('no session');
    expect(status.problem?.mend).toContain('link');
  });

  it('sees out whoever came in by a link when it is ended, and nobody else', async () => {
    server = await TestServer.start();
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const guest = await server.enterBy(band.links.player.path);
    const a = server.open(name, cookie);
    const b = server.open(name, guest);
    await Promise.all([a.settled, b.settled]);
    const ended = await server.ask(`/api/bands/${band.bandId}/links/${band.links.player.linkId}/end`, {
      method: 'POST',
      cookie,
    });
    expect(ended.status).toBe(200);
    await until(() => b.status.getSnapshot().state === 'not allowed');
    expect(b.status.getSnapshot().problem?.code).toBe('not your band');
    expect(await closed(server.socket(name, guest))).toBe(4403);
    words(a.doc).set('still', 'here');
    await until(() => a.status.getSnapshot().state === 'kept');
  });

  it('closes a socket whose session runs out while it is open', async () => {
    let now = 1_000_000;
    server = await TestServer.start({ clock: () => now, signOfLifeMilliseconds: 5 });
    const { band, cookie } = await server.newBand();
    const a = server.open(bandDocument(band.bandId), cookie);
    await a.settled;
    now += 400 * 24 * 60 * 60 * 1000;
    await until(() => a.status.getSnapshot().state === 'not allowed');
    expect(a.status.getSnapshot().problem?.code).toBe('session over');
  });

  it('refuses a page of another origin before the handshake', async () => {
    server = await TestServer.start();
    const { band, cookie } = await server.newBand();
    const socket = server.socket(bandDocument(band.bandId), cookie, { Origin: 'https://elsewhere.example' });
    const status = await new Promise<number | undefined>((done) => {
      socket.on('error', () => {});
      socket.on('unexpected-response', (_request, response) => done(response.statusCode));
    });
    expect(status).toBe(403);
  });
});

describe('presence', () => {
  it('is signed by the server and gone with the socket', async () => {
    server = await TestServer.start();
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const guest = await server.enterBy(band.links.listener.path);
    const a = server.open(name, cookie);
    const b = server.open(name, guest);
    await Promise.all([a.settled, b.settled]);
    b.awareness.setLocalState({ at: 'bar 3', playerId: band.playerId, kind: 'player' });
    const ofB = () => a.awareness.getStates().get(b.doc.clientID);
    await until(() => ofB()?.at === 'bar 3');
    expect(ofB()).toEqual({ at: 'bar 3', playerId: null, kind: 'listener' });
    b.destroy();
    await until(() => ofB() === undefined);
  });

  it('comes back at once when the page does', async () => {
    server = await TestServer.start();
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const cut = cuttable(cookie);
    const a = server.open(name, cookie);
    const b = server.open(name, cookie, { sockets: cut.sockets });
    await Promise.all([a.settled, b.settled]);
    b.awareness.setLocalState({ at: 'bar 3' });
    const ofB = () => a.awareness.getStates().get(b.doc.clientID);
    await until(() => ofB()?.at === 'bar 3');
    const clock = () => a.awareness.meta.get(b.doc.clientID)?.clock ?? 0;
    const before = clock();
    cut.cut();
    // The page comes back by the same document, hence under the same client id. It may be back so soon that nobody
    // hears that it was away, but its newer word has to arrive.
    await until(() => clock() > before && ofB()?.at === 'bar 3');
  });
});

describe('a stop', () => {
  it('commits what was taken and tells the sockets', async () => {
    const store = memoryStore(mergeUpdates);
    server = await TestServer.start({ store });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const socket = server.socket(name, cookie);
    const a = server.open(name, cookie);
    await a.settled;
    words(a.doc).set('bar', 'last');
    await until(() => a.status.getSnapshot().state === 'kept');
    const code = closed(socket);
    await server.stop();
    expect(await code).toBe(1001);
    expect(await storedWords(store, name)).toEqual({ bar: 'last' });
  });
});
