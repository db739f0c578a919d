import { afterEach, describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { readSong } from '../../lib/document';
import { bandDocument, LIMITS, songDocument } from '../../lib/protocol';
import type { ComposeOptions } from '../../server/compose';
import { memoryStore } from '../../server/store';
import { closed, TestServer, until } from '../unit/server/harness';
import { editFrame } from './hostile-frames';
import { plainSong } from './songs';
import type { Report } from './suite';
import { hostile } from './suites/hostile';

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

describe('hostile frames', () => {
  it('by the hundred leave everybody else what they kept, and nothing open', async () => {
    const wrong: string[] = [];
    let kept = 0;
    const report: Report = {
      kill: () => {},
      kept: (count) => {
        kept += count;
      },
      lost: (count, what) => count > 0 && wrong.push(`${count} lost: ${what}`),
      wrong: (what) => wrong.push(what),
      count: () => {},
      most: () => {},
    };
    await hostile.run(7, report);
    expect(wrong).toEqual([]);
    expect(kept).toBeGreaterThan(10);
  });
});

describe('a flood of joins', () => {
  it('is stopped for its address, and gives back what it took', async () => {
    const server = await start({ limits: { socketsFromAddress: 20, upgradesEachMinute: 1000 } });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const page = server.open(name, cookie);
    await page.settled;
    const outcome = (socket: ReturnType<TestServer['socket']>) =>
      new Promise<number | 'in'>((done) => {
        socket.on('error', () => {});
        socket.on('unexpected-response', (_request, response) => {
          response.resume();
          done(response.statusCode ?? 0);
        });
        socket.once('message', () => done('in'));
      });
    const flood = Array.from({ length: 100 }, () => server.socket(name, cookie));
    const outcomes = await Promise.all(flood.map(outcome));
    expect(outcomes.filter((each) => each === 'in')).toHaveLength(19);
    expect(outcomes.filter((each) => each === 503)).toHaveLength(81);
    words(page.doc).set('still', 'going');
    await until(() => page.status.getSnapshot().state === 'kept');
    for (const socket of flood) socket.terminate();
    await until(() => server.composed.sync.connectionCount === 1);
    expect(await outcome(server.socket(name, cookie))).toBe('in');
  });

  it('is stopped for its band, and the other bands feel nothing', async () => {
    const server = await start({ limits: { socketsForBand: 3 } });
    const { band, cookie } = await server.newBand();
    const other = await server.newBand();
    const sockets = Array.from({ length: 3 }, () => server.socket(bandDocument(band.bandId), cookie));
    await Promise.all(sockets.map((socket) => new Promise((done) => socket.once('message', done))));
    expect(await closed(server.socket(bandDocument(band.bandId), cookie))).toBe(4530);
    const page = server.open(bandDocument(other.band.bandId), other.cookie);
    expect((await page.settled).loaded).toBe(true);
  });

  it('by devices that have entered nothing holds no place in a band', async () => {
    const server = await start({ limits: { socketsForBand: 2 } });
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const strangers = Array.from({ length: 30 }, () => closed(server.socket(name, null)));
    expect(new Set(await Promise.all(strangers))).toEqual(new Set([4401]));
    const page = server.open(name, cookie);
    expect((await page.settled).loaded).toBe(true);
  });
});

describe('a document', () => {
  it('that is full takes no more, keeps what it had, and lets it be read', async () => {
    const server = await start();
    const { band, cookie } = await server.newBand();
    const name = bandDocument(band.bandId);
    const socket = server.socket(name, cookie);
    await new Promise((done) => socket.once('message', done));
    const code = closed(socket);
    const doc = new Y.Doc();
    const big = 3.5 * 1024 * 1024;
    for (let i = 0; i * big < LIMITS.document + big; i++) {
      const piece = new Y.Doc();
      words(piece).set(`piece ${i}`, 'x'.repeat(big));
      socket.send(editFrame(Y.encodeStateAsUpdate(piece)));
      piece.destroy();
    }
    doc.destroy();
    expect(await code).toBe(4414);
    const page = server.open(name, cookie);
    expect((await page.settled).loaded).toBe(true);
    const pieces = [...words(page.doc).keys()].length;
    expect(pieces).toBe(Math.floor(LIMITS.document / big));
  });
});

describe('a posted song', () => {
  const post = (server: TestServer, band: string, cookie: string, raw: string) =>
    server.ask(`/api/bands/${band}/songs`, { raw, cookie });
  const song = (more: string) => JSON.stringify({ song: plainSong('x') }).replace(/\}\}$/, `,${more}}}`);

  it.each([
    ['nested 100,000 deep', `{"song":${'['.repeat(100_000)}${']'.repeat(100_000)}}`, 400],
    ['nested in objects', `${'{"song":'.repeat(50_000)}1${'}'.repeat(50_000)}`, 400],
    ['not closed', '['.repeat(1_000_000), 400],
    ['a number without end', song(`"tempo":${'9'.repeat(100_000)}`), 400],
    ['a number beyond all', song('"tempo":1e999'), 400],
    ['a long string', song(`"title":"${'x'.repeat(4_000_000)}"`), 400],
    ['a thousand times a key', song(Array.from({ length: 1000 }, () => '"id":7').join()), 400],
    ['another prototype', '{"__proto__":{"song":{}},"constructor":{"prototype":{"ok":true}}}', 400],
    ['an id that leads elsewhere', song('"id":"../../band"'), 400],
    ['an id with a point', song('"id":"a.b"'), 400],
    ['a hundred thousand notes on no bar', song(`"notes":[${notes(20_000)}]`), 400],
    ['nothing', '', 400],
    ['a byte that is no text', '\u0000', 400],
  ])('with %s is refused, and the server goes on', async (_what, raw, status) => {
    const server = await start();
    const { band, cookie } = await server.newBand();
    const answer = await post(server, band.bandId, cookie, raw);
    expect([answer.status, typeof answer.body.error.mend]).toEqual([status, 'string']);
    expect(answer.body.error.where.length).toBeLessThan(500);
    expect(({} as Record<string, unknown>).ok).toBeUndefined();
    expect((await server.ask('/api/health')).status).toBe(200);
    expect((await server.ask('/api/session', { cookie })).body.bands).toHaveLength(1);
  });

  it('that would take longer than its time is given up, and nothing is stored', async () => {
    const store = memoryStore();
    const server = await start({ store, limits: { reading: { milliseconds: 1 } } });
    const { band, cookie } = await server.newBand();
    const answer = await post(server, band.bandId, cookie, JSON.stringify({ song: plainSong('x') }));
    expect([answer.status, answer.body.error.code]).toEqual([422, 'reading failed']);
    expect(await store.load(songDocument(band.bandId, 'x'))).toBeNull();
  });

  it('that would take more than its memory is given up, and the server lives', async () => {
    const server = await start({ limits: { reading: { megabytes: 40 } } });
    const { band, cookie } = await server.newBand();
    // Small to send, large to hold: an object for every three bytes.
    const raw = `{"song":[${'{},'.repeat(2_600_000)}{}]}`;
    expect(raw.length).toBeLessThan(LIMITS.songRequest);
    const answer = await post(server, band.bandId, cookie, raw);
    expect([answer.status, answer.body.error.code]).toEqual([422, 'reading failed']);
    expect((await post(server, band.bandId, cookie, JSON.stringify({ song: plainSong('y') }))).status).toBe(
      201,
    );
  });

  it('has to wait for the ones before it, and few may wait', async () => {
    const server = await start({ limits: { reading: { atOnce: 1, waiting: 2 } } });
    const { band, cookie } = await server.newBand();
    const answers = await Promise.all(
      Array.from({ length: 8 }, (_, i) =>
        post(server, band.bandId, cookie, JSON.stringify({ song: plainSong(`s${i}`) })),
      ),
    );
    const statuses = answers.map((answer) => answer.status).sort();
    expect(statuses.filter((status) => status === 201).length).toBeGreaterThanOrEqual(3);
    expect(statuses.filter((status) => status === 429).length).toBe(
      8 - statuses.filter((s) => s === 201).length,
    );
    const page = server.open(songDocument(band.bandId, 's0'), cookie);
    if ((await page.settled).loaded) expect(readSong(page.doc).song.title).toBe('Mill Race');
  });
});

function notes(count: number): string {
  const note = (i: number) =>
    `{"id":"m${i}","voiceId":"v","barId":"none","offset":0,"ticks":1,"midi":1,"syllables":[],"breath":false,"fermata":false}`;
  return Array.from({ length: count }, (_, i) => note(i)).join();
}

describe('pages', () => {
  it('are only read, at addresses that are text, and from one address not without end', async () => {
    const server = await start({ clock: () => 1_700_000_000_000 });
    for (const method of ['POST', 'PUT', 'DELETE', 'PATCH', 'OPTIONS']) {
      const answer = await server.ask('/', { method, headers: { 'Next-Action': '7f' } });
      expect([method, answer.status, answer.headers.get('allow')]).toEqual([method, 405, 'GET, HEAD']);
    }
    for (const path of ['/%E0%A4%A', '/%', '/band/%00', '/band/%0a', '/%c0%ae%c0%ae/'])
      expect([path, (await server.ask(path)).status]).toEqual([path, 400]);
    // What fetches or computes for whoever asks.
    for (const path of [
      '/_next/image?url=http://127.0.0.1:22/',
      '/_next/data/x/index.json',
      '/_next/webpack-hmr',
    ])
      expect([path, (await server.ask(path)).status]).toEqual([path, 404]);
    let drawn = 0;
    for (let i = 0; i < 650; i++) if ((await server.ask('/')).status === 200) drawn += 1;
    expect(drawn).toBe(600);
    // Scripts and styles are not drawn.
    expect((await server.ask('/_next/static/x.js')).status).toBe(200);
  });
});
