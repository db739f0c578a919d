import { createHash, createHmac } from 'node:crypto';
import { request } from 'node:http';
import { afterEach, describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { bandDocument, songDocument } from '../../lib/protocol';
import { NEW_BAND } from '../../lib/song';
import type { ComposeOptions } from '../../server/compose';
import { memoryStore } from '../../server/store';
import { closed, TestServer, until } from '../unit/server/harness';
import { editFrame } from './hostile-frames';
import { plainSong } from './songs';

let server: TestServer | null = null;
afterEach(async () => {
  await server?.stop();
  server = null;
});
async function start(options: Partial<ComposeOptions> = {}): Promise<TestServer> {
  server = await TestServer.start(options);
  return server;
}
const words = (doc: Y.Doc) => doc.getMap<string>('test');

describe('sessions', () => {
  const key = new Uint8Array(32).fill(7);
  const signed = (payload: unknown, by: Uint8Array = key, purpose = 'session ') => {
    const text = Buffer.from(JSON.stringify(payload)).toString('base64url');
    return `breathmark=${text}.${createHmac('sha256', by).update(`${purpose}${text}`).digest('base64url')}`;
  };

  it('that are forged, of another purpose, over, or not of this band open neither socket nor answer', async () => {
    const server = await start();
    const { band } = await server.newBand();
    const other = await server.newBand();
    const entry = { bandId: band.bandId, kind: 'player', playerId: null, linkId: band.links.player.linkId };
    const far = Date.now() + 1e9;
    const good = { id: 'x', expiresAt: far, bands: [entry] };
    // The shape is right: signed with the server's own key it opens.
    expect((await server.ask(`/api/bands/${band.bandId}/links`, { cookie: signed(good) })).status).toBe(200);
    const refused: readonly (readonly [string, number])[] = [
      [signed(good, new Uint8Array(32).fill(8)), 4401],
      [signed(good, key, ''), 4401],
      [`${signed(good).split('.')[0]}.`, 4401],
      [`${signed(good).split('.')[0]}`, 4401],
      [signed({ ...good, expiresAt: Date.now() - 1 }), 4401],
      [signed({ ...good, expiresAt: 'never' }), 4401],
      [signed({ ...good, bands: [{ ...entry, kind: 'founder' }] }), 4401],
      [signed({ ...good, bands: [{ ...entry, linkId: null }] }), 4403],
      [signed({ ...good, bands: [{ ...entry, linkId: 'none' }] }), 4403],
      // A listener's link under a player's name.
      [signed({ ...good, bands: [{ ...entry, linkId: band.links.listener.linkId }] }), 4403],
      // The link of another band.
      [signed({ ...good, bands: [{ ...entry, linkId: other.band.links.player.linkId }] }), 4403],
      [other.cookie, 4403],
      ['breathmark=', 4401],
      [`breathmark=${'A'.repeat(4000)}.${'A'.repeat(43)}`, 4401],
    ];
    for (const [cookie, code] of refused) {
      expect(await closed(server.socket(bandDocument(band.bandId), cookie))).toBe(code);
      const answer = await server.ask(`/api/bands/${band.bandId}/links`, { cookie });
      expect([401, 403]).toContain(answer.status);
      expect(JSON.stringify(answer.body)).not.toContain(band.links.player.linkId);
    }
  });

  it('run out under an open socket', async () => {
    let now = Date.now();
    const server = await start({ clock: () => now, signOfLifeMilliseconds: 5 });
    const { band, cookie } = await server.newBand();
    const socket = server.socket(bandDocument(band.bandId), cookie);
    await new Promise((done) => socket.once('message', done));
    const code = closed(socket);
    now += 31 * 24 * 60 * 60 * 1000;
    expect(await code).toBe(4402);
  });
});

describe('links', () => {
  it('that are ended end the sockets of who came by them, and a copied cookie of who ended them', async () => {
    let now = Date.now();
    const server = await start({ clock: () => now, signOfLifeMilliseconds: 5 });
    const { band } = await server.newBand();
    const name = bandDocument(band.bandId);
    const ada = await server.enterBy(band.links.player.path);
    const ben = await server.enterBy(band.links.player.path);
    const sockets = [server.socket(name, ada), server.socket(name, ben)];
    await Promise.all(sockets.map((socket) => new Promise((done) => socket.once('message', done))));
    const codes = sockets.map(closed);
    const ended = await server.ask(`/api/bands/${band.bandId}/links/${band.links.player.linkId}/end`, {
      body: {},
      cookie: ada,
    });
    expect(ended.status).toBe(200);
    expect(await codes[1]).toBe(4403);
    // Hers is sent to come again with the new cookie; with the old one it is not let in.
    now += 3000;
    expect(await codes[0]).toBe(4501);
    expect(await closed(server.socket(name, ada))).toBe(4403);
    const again = server.socket(name, ended.cookie);
    await new Promise((done) => again.once('message', done));
    again.terminate();
  });

  it('are guessed in vain: few tries, one answer, and the store sees hashes alone', async () => {
    const store = memoryStore();
    const seen: Uint8Array[] = [];
    const find = store.linkBySecret;
    store.linkBySecret = (hash) => {
      seen.push(hash);
      return find(hash);
    };
    const server = await start({ store, clock: () => 1_700_000_000_000 });
    const { band } = await server.newBand();
    const secret = band.links.player.path.split('#')[1] ?? '';
    const ended = await server.ask(`/api/bands/${band.bandId}/links`, {
      body: { kind: 'player' },
      cookie: (await server.newBand()).cookie,
    });
    expect(ended.status).toBe(403);
    const answers = new Set<string>();
    let tooOften = 0;
    for (let i = 0; i < 200; i++) {
      // Near misses, too: what is right at its beginning is told apart from nothing else.
      const guess = `${secret.slice(0, i % 43)}${'-'.repeat(43 - (i % 43))}`;
      const { status, body, cookie } = await server.ask('/api/enter', { body: { secret: guess } });
      expect(cookie).toBeNull();
      if (status === 429) tooOften += 1;
      else answers.add(JSON.stringify(body));
    }
    expect(answers.size).toBe(1);
    expect(tooOften).toBe(160);
    for (const hash of seen) expect(hash).toHaveLength(32);
    const known = createHash('sha256').update(secret).digest();
    expect(await find(known)).not.toBeNull();
    // Whoever has the link waits for the limit too, and comes in.
    expect((await server.ask('/api/enter', { body: { secret } })).status).toBe(429);
  });
});

describe('a listener', () => {
  it('changes nothing: not by frames, not by answers', async () => {
    const store = memoryStore();
    const server = await start({ store });
    const { band, cookie } = await server.newBand();
    const fan = await server.enterBy(band.links.listener.path);
    const name = bandDocument(band.bandId);
    const page = server.open(name, cookie);
    await page.settled;
    const before = (await store.load(name))?.updates.length;
    const socket = server.socket(name, fan);
    await new Promise((done) => socket.once('message', done));
    const doc = new Y.Doc();
    words(doc).set('listener', 'was here');
    socket.send(editFrame(Y.encodeStateAsUpdate(doc)));
    const answered = new Promise((done) => socket.once('message', done));
    socket.send(new Uint8Array([3]));
    await answered;
    words(page.doc).set('player', 'was here');
    await until(() => page.status.getSnapshot().state === 'kept');
    expect(words(page.doc).toJSON()).toEqual({ player: 'was here' });
    expect((await store.load(name))?.updates.length).toBe((before ?? 0) + 1);
    socket.terminate();

    const at = `/api/bands/${band.bandId}`;
    const tries: readonly (readonly [string, unknown])[] = [
      [`${at}/links`, { kind: 'player' }],
      [`${at}/links/end`, {}],
      [`${at}/links/${band.links.player.linkId}/end`, {}],
      [`${at}/links/${band.links.player.linkId}/change`, {}],
      [`${at}/delete`, { name: 'The Testers' }],
      [`${at}/songs`, { song: plainSong('x') }],
      ['/api/you', { bandId: band.bandId, playerId: band.playerId }],
    ];
    for (const [path, body] of tries) {
      const { status, body: said } = await server.ask(path, { body, cookie: fan });
      expect([path, status, said.error.code]).toEqual([path, 403, 'players only']);
    }
    expect((await server.ask(`${at}/links`, { cookie: fan })).status).toBe(403);
  });
});

describe('a band', () => {
  it('is deleted by its name: sockets told, nothing left, nobody else touched', async () => {
    const store = memoryStore();
    const server = await start({ store });
    const { band, cookie } = await server.newBand();
    const other = await server.newBand();
    const at = `/api/bands/${band.bandId}`;
    await server.ask(`${at}/songs`, { body: { song: plainSong('mill') }, cookie });
    const ben = await server.enterBy(band.links.player.path);
    const fan = await server.enterBy(band.links.listener.path);
    const neighbour = server.open(bandDocument(other.band.bandId), other.cookie);
    const song = server.open(songDocument(band.bandId, 'mill'), ben);
    const fans = server.open(bandDocument(band.bandId), fan);
    await Promise.all([neighbour.settled, song.settled, fans.settled]);
    for (const name of ['The Tester', 'the testers', ''])
      expect((await server.ask(`${at}/delete`, { body: { name }, cookie: ben })).body.error.code).toBe(
        'wrong name',
      );
    const gone = await server.ask(`${at}/delete`, { body: { name: ' The Testers ' }, cookie: ben });
    expect([gone.status, gone.body]).toEqual([200, { bandId: band.bandId }]);
    for (const page of [song, fans]) {
      await until(() => page.status.getSnapshot().state === 'not allowed');
      expect(page.status.getSnapshot().problem?.code).toBe('band deleted');
    }
    expect(await store.load(bandDocument(band.bandId))).toBeNull();
    expect(await store.load(songDocument(band.bandId, 'mill'))).toBeNull();
    expect(await store.links(band.bandId)).toEqual([]);
    for (const path of [band.links.player.path, band.links.listener.path]) {
      const late = await server.ask('/api/enter', { body: { secret: path.split('#')[1] } });
      expect(late.body.error.code).toBe('bad link');
    }
    for (const left of [cookie, ben, fan, gone.cookie]) {
      expect((await server.ask('/api/session', { cookie: left })).body.bands).toEqual([]);
      expect((await server.ask(`${at}/links`, { cookie: left })).status).toBe(403);
    }
    words(neighbour.doc).set('still', 'here');
    await until(() => neighbour.status.getSnapshot().state === 'kept');
    expect((await store.load(bandDocument(other.band.bandId)))?.updates.length).toBeGreaterThan(1);
  });

  it('that is open to everybody is neither deleted nor closed', async () => {
    const server = await start({
      demo: async () => ({
        band: { id: 'demo', name: 'The Demo', players: [], songs: [], sets: [], ...NEW_BAND },
        songs: [],
      }),
    });
    const { cookie } = await server.ask('/api/demo/enter', { body: {} });
    const gone = await server.ask('/api/bands/demo/delete', { body: { name: 'The Demo' }, cookie });
    expect([gone.status, gone.body.error.code]).toEqual([403, 'demo stays']);
    const closedAll = await server.ask('/api/bands/demo/links/end', { body: {}, cookie });
    expect([closedAll.status, closedAll.body.error.code]).toEqual([403, 'demo stays']);
  });

  it('put to its founder alone knows nobody else any more', async () => {
    const server = await start();
    const { band, cookie } = await server.newBand();
    const others = await Promise.all(
      [band.links.player.path, band.links.listener.path].map((path) => server.enterBy(path)),
    );
    const pages = others.map((other) => server.open(bandDocument(band.bandId), other));
    await Promise.all(pages.map((page) => page.settled));
    const alone = await server.ask(`/api/bands/${band.bandId}/links/end`, { body: {}, cookie });
    expect(alone.status).toBe(200);
    for (const page of pages) await until(() => page.status.getSnapshot().problem?.code === 'not your band');
    const at = `/api/bands/${band.bandId}/links`;
    expect((await server.ask(at, { cookie: alone.cookie })).status).toBe(200);
    // The founder's cookie of before, wherever a copy of it lies.
    expect((await server.ask(at, { cookie })).status).toBe(403);
  });
});

describe('addresses', () => {
  const raw = (port: number, path: string, cookie: string) =>
    new Promise<{ status: number; body: string }>((done, fail) => {
      const asked = request({ port, path, host: '127.0.0.1', headers: { Cookie: cookie } }, (response) => {
        let body = '';
        response.on('data', (part) => {
          body += String(part);
        });
        response.on('end', () => done({ status: response.statusCode ?? 0, body }));
      });
      asked.on('error', fail);
      asked.end();
    });

  it.each([
    '/api/../../etc/passwd',
    '/api/%2e%2e/%2e%2e/etc/passwd',
    '/api//bands//x/links',
    '/api/bands/..%2f..%2fdemo/links',
    '/api/bands/%00/links',
    '/api/bands/band.x/links',
    '/api/bands/x/links/../../links',
    '/api/bands/__proto__/links',
    '/api/bands/constructor/links',
    `/api/bands/${'x'.repeat(5000)}/links`,
    '/api/bands/%ff%fe/links',
    '/api\\bands\\x',
    '/api/health/../session/..',
    '//evil.example/api/bands',
  ])('%s leads nowhere', async (path) => {
    const server = await start();
    const { cookie } = await server.newBand();
    const { status, body } = await raw(server.port, path, cookie);
    expect(path.startsWith('/api/') ? [403, 404] : [200, 403, 404]).toContain(status);
    expect(body).not.toContain('root:');
    if (status !== 200) expect(Object.keys(JSON.parse(body))).toEqual(['error']);
  });
});
