import { afterEach, describe, expect, it } from 'vitest';
import type { WebSocket } from 'ws';
import * as Y from 'yjs';
import { randomFrom } from '../../lib/base';
import { bandDocument, LIMITS } from '../../lib/protocol';
import { memoryStore } from '../../server/store';
import { mergeUpdates } from '../../server/sync/merge';
import { closed, TestServer, until } from '../unit/server/harness';

let server: TestServer;
afterEach(async () => {
  await server.stop();
});

const words = (doc: Y.Doc) => doc.getMap<string>('test');
const opened = (socket: WebSocket) => new Promise((done) => socket.once('message', done));

/** A band with two pages open on its document, and a third socket for mischief. */
async function scene() {
  const store = memoryStore();
  server = await TestServer.start({ store });
  const { band, cookie } = await server.newBand();
  const name = bandDocument(band.bandId);
  const [a, b] = [server.open(name, cookie), server.open(name, cookie)];
  await Promise.all([a.settled, b.settled]);
  words(a.doc).set('before', 'kept');
  await until(() => words(b.doc).get('before') === 'kept' && a.status.getSnapshot().state === 'kept');
  const stored = async () => {
    const doc = new Y.Doc();
    Y.applyUpdate(doc, mergeUpdates((await store.load(name))?.updates ?? []));
    return words(doc).toJSON();
  };
  return { store, cookie, name, a, b, stored };
}

const GARBAGE: readonly (readonly [string, Uint8Array | string, number])[] = [
  ['nothing at all', new Uint8Array(), 4400],
  ['text', 'hello', 4400],
  ['an unknown type', new Uint8Array([42, 1, 2, 3]), 4400],
  ['a length beyond the end', new Uint8Array([0, 2, 255, 255, 255, 255, 15]), 4400],
  ['an endless number', new Uint8Array(64).fill(255), 4400],
  ['an update that is none', new Uint8Array([0, 2, 4, 9, 9, 9, 9]), 4400],
  ['a state vector that is none', new Uint8Array([0, 0, 2, 200, 200]), 4400],
  ['a presence that is none', new Uint8Array([1, 4, 1, 1, 1, 7]), 4400],
  ['more than a frame may hold', new Uint8Array(LIMITS.frame + 1), 4413],
  ['far more than a frame may hold', new Uint8Array(LIMITS.frame * 2 + 1), 1009],
];

describe('garbage on the socket', () => {
  it.each(GARBAGE)('%s closes that socket and disturbs nobody else', async (_what, frame, code) => {
    const { name, cookie, a, b } = await scene();
    const refusals: string[] = [];
    for (const page of [a, b])
      page.status.subscribe(() => refusals.push(page.status.getSnapshot().problem?.code ?? ''));
    const socket = server.socket(name, cookie);
    await opened(socket);
    const code_ = closed(socket);
    socket.send(frame);
    expect(await code_).toBe(code);
    words(b.doc).set('after', 'still going');
    await until(() => words(a.doc).get('after') === 'still going' && b.status.getSnapshot().state === 'kept');
    expect(refusals.filter((refusal) => refusal !== '')).toEqual([]);
  });

  it('in hundreds of shapes leaves the server up, and what is kept kept', async () => {
    const { name, cookie, a, stored } = await scene();
    const random = randomFrom(11);
    const whole = [0, 2, ...[Y.encodeStateAsUpdate(a.doc)].flatMap((update) => [update.length, ...update])];
    for (let i = 0; i < 300; i++) {
      const bytes =
        i % 2 === 0
          ? Uint8Array.from({ length: 1 + Math.floor(random() * 60) }, () => Math.floor(random() * 256))
          : Uint8Array.from(whole, (byte) => (random() < 0.03 ? Math.floor(random() * 256) : byte));
      const socket = server.socket(name, cookie);
      await opened(socket);
      const gone = closed(socket);
      socket.send(bytes);
      socket.close();
      await gone;
    }
    words(a.doc).set('after', 'all that');
    await until(() => a.status.getSnapshot().state === 'kept');
    expect(await stored()).toMatchObject({ before: 'kept', after: 'all that' });
    expect((await server.ask('/api/health')).status).toBe(200);
  });

  it('that can be decoded and not applied is not kept; everybody comes back to what is', async () => {
    const { name, cookie, a, b, stored } = await scene();
    // An update to this document with one byte changed: Yjs reads it whole and throws when it applies it.
    const poison = Buffer.from('AQEJcAQBBHRlc3QBYgF3AXkA', 'base64');
    expect(() => Y.decodeUpdate(poison)).not.toThrow();
    expect(() => Y.applyUpdate(new Y.Doc(), poison)).toThrow();
    const socket = server.socket(name, cookie);
    await opened(socket);
    const code = closed(socket);
    socket.send(new Uint8Array([0, 2, poison.length, ...poison]));
    expect(await code).toBe(4400);
    words(a.doc).set('after', 'back again');
    await until(() => words(b.doc).get('after') === 'back again' && a.status.getSnapshot().state === 'kept');
    expect(await stored()).toEqual({ before: 'kept', after: 'back again' });
  });

  it('in a flood closes the socket that sends it', async () => {
    const { name, cookie, a, b } = await scene();
    const socket = server.socket(name, cookie);
    await opened(socket);
    const code = closed(socket);
    for (let i = 0; i < LIMITS.framesAtOnce * 2; i++) socket.send(new Uint8Array([3]));
    expect(await code).toBe(4529);
    words(a.doc).set('after', 'the flood');
    await until(() => words(b.doc).get('after') === 'the flood');
  });

  it.each([
    '/sync',
    '/sync/',
    '/sync/%00',
    '/sync/band',
    '/sync/band.a.b',
    '/sync/song.a',
    '/sync/../../etc',
    '/elsewhere',
  ])('asking for %s is refused', async (path) => {
    const { cookie } = await scene();
    const { WebSocket: Socket } = await import('ws');
    const socket = new Socket(`ws://127.0.0.1:${server.port}${path}`, { headers: { Cookie: cookie } });
    const answer = await new Promise<string | number>((done) => {
      socket.on('error', () => {});
      socket.on('unexpected-response', (_request, response) => done(`HTTP ${response.statusCode}`));
      socket.on('close', (code) => done(code));
    });
    expect([4404, 'HTTP 404']).toContain(answer);
    expect((await server.ask('/api/health')).status).toBe(200);
  });
});
