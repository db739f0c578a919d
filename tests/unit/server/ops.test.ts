import type { IncomingMessage } from 'node:http';
import { afterEach, describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { isFromHere, type Level, Metrics, makeLog, scrubbed, Watch } from '../../../server/ops';
import { NoRoom, type Store } from '../../../server/ports';
import { memoryStore } from '../../../server/store';
import { mergeUpdates } from '../../../server/sync/merge';
import { TestServer, until } from './harness';

let server: TestServer | null = null;
afterEach(() => server?.stop());

/** A server that is watched, over a store that can be made to fail; and every line of its log. */
async function watched(level: Level = 'debug') {
  const lines: string[] = [];
  const log = makeLog(level, { write: (line) => void lines.push(line) });
  const failure: { error: Error | null } = { error: null };
  const inner = memoryStore(mergeUpdates);
  const mayFail = <A extends unknown[], R>(call: (...args: A) => Promise<R>) => {
    return async (...args: A): Promise<R> => {
      if (failure.error !== null) throw failure.error;
      return call(...args);
    };
  };
  const store: Store = {
    ...inner,
    append: mayFail(inner.append),
    create: mayFail(inner.create),
    linkBySecret: mayFail(inner.linkBySecret),
    probe: mayFail(inner.probe),
  };
  let now = 1_000_000;
  const metrics = new Metrics();
  const watch = new Watch({ log, metrics, clock: () => now });
  watch.over(store);
  server = await TestServer.start({ store, watch, report: watch.report });
  const { composed } = server;
  watch.count({ rooms: () => composed.rooms.count, sockets: () => composed.sync.connectionCount });
  const later = (milliseconds: number) => {
    now += milliseconds;
  };
  lines.length = 0;
  return { server, store: inner, lines, failure, watch, later };
}

describe('the log', () => {
  it('holds no secret of a link, no cookie and no address, whatever goes wrong with them', async () => {
    const { server, lines, failure } = await watched();
    const { band, cookie } = await server.newBand();
    const secret = band.links.player.path.split('#')[1] ?? '';
    const entered = await server.enterBy(band.links.listener.path);
    const value = cookie.split('=')[1] ?? '';
    failure.error = new Error(
      `could not look up ${secret} for 203.0.113.77 (2001:db8::17) with Cookie: ${cookie}; came from /enter#${secret}`,
      { cause: new Error(`asked with ${entered}`) },
    );
    expect((await server.ask('/api/enter', { body: { secret }, cookie })).status).toBe(500);
    expect((await server.ask('/api/bands', { body: { name: 'x' }, cookie: entered })).status).toBe(500);
    const all = lines.join('');
    expect(lines).toHaveLength(2);
    expect(all).toContain('could not look up [hidden] for [address]');
    for (const hidden of [secret, value, ...value.split('.'), entered, '203.0.113', '2001:db8', '127.0.0.1'])
      expect(all).not.toContain(hidden);
    for (const line of lines)
      expect(JSON.parse(line)).toMatchObject({ level: 'error', err: { type: 'Error' } });
  });

  it('scrubs what it is told in words and in fields, and leaves ids, paths and times', () => {
    const lines: string[] = [];
    const log = makeLog('info', { write: (line) => void lines.push(line) });
    const secret = 'kZ3u8Qm1x-9_bV7tR2yLwE5nA0sD6fGhJjKkPpOoIiU';
    log.warn(`opened ${secret}`);
    log.warn(
      { where: `/enter#${secret}`, document: 'song.Ab3dEf6hJk9mNp.Qr2tUv5xYz8bCd' },
      `from 198.51.100.7`,
    );
    expect(lines.join('')).not.toContain(secret);
    expect(lines.join('')).not.toContain('198.51');
    expect(JSON.parse(lines[1] ?? '')).toMatchObject({ document: 'song.Ab3dEf6hJk9mNp.Qr2tUv5xYz8bCd' });
    const plain = 'server/store/documents.ts:41:17 at 2031-05-04T10:11:12.123Z, SQLITE_FULL';
    expect(scrubbed(plain)).toBe(plain);
  });

  it('is silent where it is asked to be', async () => {
    const { server, lines, failure } = await watched('silent');
    failure.error = new Error('x');
    expect((await server.ask('/api/bands', { body: { name: 'x' } })).status).toBe(500);
    expect(lines).toEqual([]);
  });
});

describe('health', () => {
  it('is well while edits can be kept, says so where they cannot, and comes back', async () => {
    const { server, failure, watch, later } = await watched();
    expect(await server.ask('/api/health')).toMatchObject({ status: 200, body: { well: true } });
    failure.error = new NoRoom('full');
    later(5000);
    expect(await server.ask('/api/health')).toMatchObject({
      status: 503,
      body: { well: false, why: 'not kept' },
    });
    failure.error = null;
    later(-3_600_000);
    expect(await server.ask('/api/health')).toMatchObject({ status: 200, body: { well: true } });
    // An edit that could not be kept counts for a minute, or until one can.
    const unwell = { status: 503, body: { well: false, why: 'not kept' } };
    const well = { status: 200, body: { well: true } };
    watch.events.refused?.(3);
    expect(await server.ask('/api/health')).toMatchObject(unwell);
    watch.events.committed?.(1, 1);
    expect(await server.ask('/api/health')).toMatchObject(well);
    watch.events.refused?.(3);
    later(61_000);
    expect(await server.ask('/api/health')).toMatchObject(well);
    watch.stopping();
    expect(await server.ask('/api/health')).toMatchObject({
      status: 503,
      body: { well: false, why: 'stopping' },
    });
  });

  it('a full disk is said in words that help', async () => {
    const { server, failure } = await watched();
    failure.error = new NoRoom('full');
    const answer = await server.ask('/api/bands', { body: { name: 'x' } });
    expect(answer).toMatchObject({ status: 507, body: { error: { code: 'no room' } } });
  });
});

describe('the numbers', () => {
  it('count what goes on, and name nobody', async () => {
    const { server, failure, watch } = await watched();
    const { band, cookie } = await server.newBand();
    const page = server.open(`band.${band.bandId}`, cookie);
    await page.settled;
    watch.events.committed?.(3, 2);
    // The demo band could not be made.
    expect((await server.ask('/api/metrics')).body).toMatch(/^breathmark_faults_total 1$/m);
    failure.error = new Error('x');
    await server.ask('/api/bands', { body: { name: 'x' } });
    failure.error = null;
    const { body, status, headers } = await server.ask('/api/metrics');
    expect(status).toBe(200);
    expect(headers.get('content-type')).toContain('text/plain');
    const value = (name: string) =>
      Number(new RegExp(`^${name.replace(/[{}]/g, '\\$&')} (\\S+)$`, 'm').exec(body)?.[1]);
    expect(value('breathmark_rooms')).toBe(1);
    expect(value('breathmark_sockets')).toBe(1);
    expect(value('breathmark_updates_kept_total')).toBe(3);
    expect(value('breathmark_faults_total')).toBe(2);
    expect(value('breathmark_requests_total{kind="api",status="5xx"}')).toBe(1);
    expect(body).not.toContain(band.bandId);
  });

  it('are for this machine alone', async () => {
    const { server } = await watched();
    for (const name of ['X-Forwarded-For', 'Forwarded', 'Via', 'X-Real-IP'])
      expect((await server.ask('/api/metrics', { headers: { [name]: '127.0.0.1' } })).status).toBe(404);
    expect((await server.ask('/api/metrics', { method: 'POST', raw: '{}' })).status).not.toBe(200);
    const from = (remoteAddress: string) =>
      isFromHere({ headers: {}, socket: { remoteAddress } } as unknown as IncomingMessage);
    expect(['127.0.0.1', '127.8.9.1', '::1', '::ffff:127.0.0.1'].map(from)).toEqual([true, true, true, true]);
    expect(['10.0.0.1', '::ffff:192.0.2.1', '1127.0.0.1', '', '2001:db8::1'].map(from)).not.toContain(true);
  });
});

describe('a graceful stop', () => {
  it('keeps what is open, tells every socket why, and ends with nothing left', async () => {
    const { server, store } = await watched();
    const { band, cookie } = await server.newBand();
    const pages = Array.from({ length: 5 }, () => server.open(`band.${band.bandId}`, cookie));
    await Promise.all(pages.map((page) => page.settled));
    const sockets = Array.from({ length: 5 }, () => server.socket(`band.${band.bandId}`, cookie));
    const codes = sockets.map(
      (socket) =>
        new Promise<number>((done) => {
          socket.on('close', done);
          socket.on('error', () => {});
        }),
    );
    await Promise.all(sockets.map((socket) => new Promise((done) => socket.once('message', done))));
    pages.forEach((page, i) => {
      page.doc.getMap('test').set(`last of ${i}`, i);
    });
    // Each has come to all the others, so the server has them; whether they are kept is up to its stop.
    await until(() => pages.every((page) => page.doc.getMap('test').size === 5));
    const started = performance.now();
    await server.pullThePlug();
    console.log(
      `a stop with ten sockets and five open edits took ${Math.round(performance.now() - started)} ms`,
    );
    expect(await Promise.all(codes)).toEqual([1001, 1001, 1001, 1001, 1001]);
    expect([server.composed.sync.connectionCount, server.composed.rooms.count]).toEqual([0, 0]);
    const doc = new Y.Doc();
    for (const update of (await store.load(`band.${band.bandId}`))?.updates ?? []) Y.applyUpdate(doc, update);
    expect(doc.getMap('test').size).toBe(5);
    server.destroyClients();
  });
});
