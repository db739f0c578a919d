import { afterEach, describe, expect, it } from 'vitest';
import { newBandDocument, newSongDocument, readSong } from '../../../lib/document';
import { bandDocument, LIMITS, songDocument } from '../../../lib/protocol';
import { type Band, NEW_BAND, type Song, USUAL_SONG } from '../../../lib/song';
import { memoryStore } from '../../../server/store';
import { plainSong } from '../../faults/songs';
import { TestServer } from './harness';

let server: TestServer;
afterEach(async () => {
  await server.stop();
});

const song: Song = { ...plainSong('barn-door'), title: 'Barn Door' };
const demoBandValue: Band = {
  id: 'any',
  name: 'The Demo',
  players: [],
  songs: [{ ...USUAL_SONG, id: song.id, title: song.title }],
  sets: [],
  ...NEW_BAND,
};

describe('bands', () => {
  it('are made with a founder and a link of each kind', async () => {
    server = await TestServer.start();
    const { band, cookie } = await server.newBand();
    expect(band.links.player.path).toMatch(/^\/enter#/);
    const session = await server.ask('/api/session', { cookie });
    expect(session.body).toEqual({
      bands: [{ bandId: band.bandId, name: 'The Testers', kind: 'player', playerId: band.playerId }],
      demoBandId: null,
    });
    const page = await server.composed.house.band(band.bandId, cookie);
    expect(page).toMatchObject({
      ok: true,
      value: {
        band: { name: 'The Testers', players: [{ name: 'Ada Q', initials: 'AQ', instruments: ['guitar'] }] },
        you: { kind: 'player', playerId: band.playerId },
      },
    });
  });

  it('are several to a device, and can be left', async () => {
    server = await TestServer.start();
    const first = await server.newBand();
    const second = await server.ask('/api/bands', { body: { name: 'Second' }, cookie: first.cookie });
    expect((await server.ask('/api/session', { cookie: second.cookie })).body.bands).toHaveLength(2);
    const left = await server.ask('/api/leave', {
      body: { bandId: first.band.bandId },
      cookie: second.cookie,
    });
    expect((await server.ask('/api/session', { cookie: left.cookie })).body.bands).toMatchObject([
      { name: 'Second' },
    ]);
  });

  it('are nobody else’s', async () => {
    server = await TestServer.start();
    const { band } = await server.newBand();
    const other = await server.newBand();
    const { house } = server.composed;
    expect(await house.band(band.bandId, null)).toMatchObject({ error: { code: 'no session' } });
    expect(await house.band(band.bandId, other.cookie)).toMatchObject({ error: { code: 'not your band' } });
    expect(await house.song(band.bandId, 'x', other.cookie)).toMatchObject({
      error: { code: 'not your band' },
    });
    expect((await server.ask(`/api/bands/${band.bandId}/links`, { cookie: other.cookie })).status).toBe(403);
    expect((await server.ask(`/api/bands/${band.bandId}/links`)).status).toBe(401);
  });
});

describe('links', () => {
  it('are given out, listed without their secret, and ended by players only', async () => {
    server = await TestServer.start();
    const { band, cookie } = await server.newBand();
    const path = `/api/bands/${band.bandId}/links`;
    const listener = await server.enterBy(band.links.listener.path);
    expect((await server.ask(path, { body: { kind: 'player' }, cookie: listener })).body.error.code).toBe(
      'players only',
    );
    const given = await server.ask(path, { body: { kind: 'listener' }, cookie });
    expect(given.status).toBe(201);
    const list = await server.ask(path, { cookie });
    // The founder's own, the two of the beginning, and this one.
    expect(list.body.links).toHaveLength(4);
    expect(JSON.stringify(list.body)).not.toContain(given.body.path.split('#')[1]);
    const ended = await server.ask(`${path}/${given.body.linkId}/end`, { method: 'POST', cookie });
    expect(ended.body.links.filter((link: { endedAt: number | null }) => link.endedAt !== null)).toHaveLength(
      1,
    );
    const late = await server.ask('/api/enter', { body: { secret: given.body.path.split('#')[1] } });
    expect([late.status, late.body.error.code, late.cookie]).toEqual([404, 'bad link', null]);
    expect((await server.ask(`${path}/${given.body.linkId}/end`, { method: 'POST', cookie })).status).toBe(
      404,
    );
  });
});

describe('who one is', () => {
  it('is one of the band’s players, named in the session', async () => {
    server = await TestServer.start();
    const { band } = await server.newBand();
    const guest = await server.enterBy(band.links.player.path);
    const { house } = server.composed;
    expect(await house.band(band.bandId, guest)).toMatchObject({ value: { you: { playerId: null } } });
    const you = await server.ask('/api/you', {
      body: { bandId: band.bandId, playerId: band.playerId },
      cookie: guest,
    });
    expect(you.body).toEqual({ bandId: band.bandId, playerId: band.playerId });
    expect(await house.band(band.bandId, you.cookie)).toMatchObject({
      value: { you: { playerId: band.playerId } },
    });
    const nobody = await server.ask('/api/you', {
      body: { bandId: band.bandId, playerId: 'nobody' },
      cookie: guest,
    });
    expect([nobody.status, nobody.body.error.code]).toEqual([404, 'no such player']);
  });
});

describe('songs', () => {
  it('become a document and an entry in the band’s list, which open pages see', async () => {
    server = await TestServer.start();
    const { band, cookie } = await server.newBand();
    const page = server.open(bandDocument(band.bandId), cookie);
    await page.settled;
    const seen = new Promise((done) => page.doc.once('update', done));
    const added = await server.ask(`/api/bands/${band.bandId}/songs`, { body: { song }, cookie });
    expect([added.status, added.body]).toEqual([201, { songId: song.id }]);
    await seen;
    const shown = await server.composed.house.song(band.bandId, song.id, cookie);
    if (!shown.ok) throw new Error(shown.error.what);
    expect(shown.value.song).toEqual(song);
    expect(shown.value.band.songs).toEqual([{ ...USUAL_SONG, id: song.id, title: song.title }]);
    const board = server.open(songDocument(band.bandId, song.id), cookie);
    await board.settled;
    expect(readSong(board.doc).song).toEqual(song);
    const again = await server.ask(`/api/bands/${band.bandId}/songs`, { body: { song }, cookie });
    expect([again.status, again.body.error.code]).toEqual([409, 'already there']);
  });

  it('are mended where only the document was made', async () => {
    const store = memoryStore();
    server = await TestServer.start({ store });
    const { band, cookie } = await server.newBand();
    await server.composed.rooms.create(songDocument(band.bandId, song.id), newSongDocument(song));
    expect((await server.ask(`/api/bands/${band.bandId}/songs`, { body: { song }, cookie })).status).toBe(
      201,
    );
    const page = await server.composed.house.band(band.bandId, cookie);
    expect(page.ok && page.value.band.songs).toEqual([{ ...USUAL_SONG, id: song.id, title: song.title }]);
  });

  it.each([
    ['no song', {}, 'song'],
    ['a tempo of 0', { song: { ...song, tempo: 0 } }, 'song.tempo'],
    ['a note on no bar', { song: { ...song, notes: [{ ...song.notes[0], barId: 'none' }] } }, 'note n1'],
    ['an id that cannot be an address', { song: { ...song, id: '../x' } }, 'song.id'],
  ])('with %s are refused, and the answer says where', async (_what, body, where) => {
    server = await TestServer.start();
    const { band, cookie } = await server.newBand();
    const answer = await server.ask(`/api/bands/${band.bandId}/songs`, { body, cookie });
    expect([answer.status, answer.body.error.code]).toEqual([400, 'bad value']);
    expect(answer.body.error.where).toContain(where);
  });

  it('are not a listener’s to bring', async () => {
    server = await TestServer.start();
    const { band } = await server.newBand();
    const cookie = await server.enterBy(band.links.listener.path);
    const answer = await server.ask(`/api/bands/${band.bandId}/songs`, { body: { song }, cookie });
    expect([answer.status, answer.body.error.code]).toEqual([403, 'players only']);
  });
});

describe('the demo', () => {
  it('is there for whoever asks, and made once', async () => {
    const store = memoryStore();
    let made = 0;
    const demo = async () => {
      made += 1;
      return { band: demoBandValue, songs: [song] };
    };
    server = await TestServer.start({ store, demo });
    const entered = await server.ask('/api/demo/enter', { method: 'POST' });
    expect(entered.body).toEqual({ bandId: 'demo', kind: 'player' });
    const page = await server.composed.house.song('demo', song.id, entered.cookie);
    expect(page).toMatchObject({
      ok: true,
      value: { band: { id: 'demo', name: 'The Demo' }, song: { id: song.id } },
    });
    await server.stop();
    server = await TestServer.start({ store, demo });
    expect((await server.ask('/api/session')).body.demoBandId).toBe('demo');
    expect(made).toBe(1);
  });

  it('is finished by the next start where one broke off', async () => {
    const store = memoryStore();
    const { rooms, stop } = await (async () => {
      const first = await TestServer.start({ store });
      return { rooms: first.composed.rooms, stop: () => first.stop() };
    })();
    await rooms.create(bandDocument('demo'), newBandDocument({ ...demoBandValue, id: 'demo' }));
    await stop();
    server = await TestServer.start({ store, demo: async () => ({ band: demoBandValue, songs: [song] }) });
    const entered = await server.ask('/api/demo/enter', { method: 'POST' });
    expect(await server.composed.house.song('demo', song.id, entered.cookie)).toMatchObject({ ok: true });
  });

  it('is missed, not mourned, where it cannot be made', async () => {
    server = await TestServer.start();
    expect((await server.ask('/api/demo/enter', { method: 'POST' })).status).toBe(404);
    await server.newBand();
  });
});

describe('what cannot be answered', () => {
  it.each([
    ['/api/nothing', {}, 404, 'not found'],
    ['/api', {}, 404, 'not found'],
    ['/api/bands', { method: 'DELETE' }, 405, 'wrong method'],
    ['/api/bands', { raw: '{"name":' }, 400, 'bad request'],
    ['/api/bands', { raw: '{"name":"x"}', headers: { 'Content-Type': 'text/plain' } }, 400, 'bad request'],
    ['/api/bands', { body: { name: '   ' } }, 400, 'bad value'],
    ['/api/bands', { body: { name: 'x'.repeat(121) } }, 400, 'bad value'],
    ['/api/bands', { body: [] }, 400, 'bad value'],
    ['/api/bands', { body: { name: 'x'.repeat(LIMITS.request) } }, 413, 'too large'],
    ['/api/enter', { body: { secret: 'short' } }, 404, 'bad link'],
    ['/api/you', { body: { bandId: 'b', playerId: null } }, 401, 'no session'],
    ['/api/leave', { body: { bandId: 'b' } }, 401, 'no session'],
  ] as const)('%s %o', async (path, ask, status, code) => {
    server = await TestServer.start();
    const answer = await server.ask(path, ask);
    expect([answer.status, answer.body.error.code]).toEqual([status, code]);
    for (const part of ['what', 'where', 'mend']) expect(answer.body.error[part]).toMatch(/\S/);
    expect(answer.cookie).toBeNull();
    expect((await server.ask('/api/health')).body).toEqual({ well: true });
  });

  it('counts a large body while it comes, whatever it said of its length', async () => {
    server = await TestServer.start();
    const body = new ReadableStream({
      pull(controller) {
        controller.enqueue(new Uint8Array(64 * 1024));
      },
    });
    const init = { method: 'POST', headers: { 'Content-Type': 'application/json' }, body, duplex: 'half' };
    const status = await fetch(`${server.url}/api/bands`, init).then(
      (response) => response.status,
      // The server may hang up before the client has looked at its answer.
      () => 413,
    );
    expect(status).toBe(413);
    expect((await server.ask('/api/health')).status).toBe(200);
  });

  it('comes from another page', async () => {
    server = await TestServer.start({ trustedProxies: 1 });
    const body = { name: 'x' };
    const from = (headers: Record<string, string>) => server.ask('/api/bands', { body, headers });
    const elsewhere = await from({ Origin: 'https://elsewhere.example' });
    expect([elsewhere.status, elsewhere.body.error.code]).toEqual([403, 'other page']);
    expect((await from({ Origin: 'null' })).status).toBe(403);
    // fetch lets no one set Sec-Fetch-Site; Node's sets it as a browser would not, so only Origin is tried here.
    expect((await from({ Origin: server.url })).status).toBe(201);
    expect((await from({ Origin: 'https://band.example', 'X-Forwarded-Host': 'band.example' })).status).toBe(
      201,
    );
  });

  it('comes too often from one address', async () => {
    server = await TestServer.start({ clock: () => 1_000_000 });
    const statuses: number[] = [];
    for (let i = 0; i < 60; i++)
      statuses.push((await server.ask('/api/enter', { body: { secret: 'x'.repeat(43) } })).status);
    expect(statuses.slice(0, 40).every((status) => status === 404)).toBe(true);
    expect(statuses.slice(40).every((status) => status === 429)).toBe(true);
  });

  it('is our fault: the answer says so and no more', async () => {
    const store = memoryStore();
    const reports: unknown[] = [];
    server = await TestServer.start({ store, report: (error) => reports.push(error) });
    store.linkBySecret = async () => {
      throw new Error('secret detail at /a/path');
    };
    const answer = await server.ask('/api/enter', { body: { secret: 'x'.repeat(43) } });
    expect([answer.status, answer.body.error.code]).toEqual([500, 'our fault']);
    expect(JSON.stringify(answer.body)).not.toContain('detail');
    expect(String(reports.at(-1))).toContain('secret detail');
  });
});

describe('every answer', () => {
  it('carries the headers', async () => {
    server = await TestServer.start();
    for (const path of ['/', '/api/health', '/api/nothing']) {
      const { headers } = await server.ask(path);
      expect(headers.get('x-content-type-options')).toBe('nosniff');
      expect(headers.get('referrer-policy')).toBe('no-referrer');
      expect(headers.get('content-security-policy')).toContain("frame-ancestors 'none'");
    }
    expect((await server.ask('/api/health')).headers.get('cache-control')).toBe('no-store');
  });

  it('renews a session that is a day old, pages too', async () => {
    let now = 1_700_000_000_000;
    server = await TestServer.start({ clock: () => now });
    const { cookie } = await server.newBand();
    expect((await server.ask('/', { cookie })).cookie).toBeNull();
    now += 20 * 24 * 60 * 60 * 1000;
    const page = await server.ask('/', { cookie });
    const data = await server.ask('/api/session', { cookie });
    now += 20 * 24 * 60 * 60 * 1000;
    expect((await server.ask('/api/session', { cookie })).body.bands).toEqual([]);
    for (const renewed of [page.cookie, data.cookie])
      expect((await server.ask('/api/session', { cookie: renewed })).body.bands).toHaveLength(1);
  });
});
