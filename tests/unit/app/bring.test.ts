import 'fake-indexeddb/auto';
import { afterEach, describe, expect, it } from 'vitest';
import { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { bandsHere, bringDocument, forgetBand, forgetKept, heldWhole } from '../../../app/sync';
import { bandDocument } from '../../../lib/protocol';
import { socketsWith } from '../../sockets';
import { cuttable, TestServer, until } from '../server/harness';

// A document is brought to a device by the real server, and read back from the device's store (fake-indexeddb stands in for it).

let server: TestServer;
afterEach(async () => {
  await server.stop();
  for (const bandId of await bandsHere()) await forgetBand(bandId, 'all');
});

const words = (doc: Y.Doc) => doc.getMap<string>('test');
const never = () => new AbortController().signal;

async function withServer() {
  server = await TestServer.start();
  const { band, cookie } = await server.newBand();
  const name = bandDocument(band.bandId);
  const line = cuttable(cookie);
  const options = { origin: `ws://127.0.0.1:${server.port}`, sockets: line.sockets };
  /** Somebody else writes a word, on a device of their own that keeps nothing; a second one has it by way of the server. */
  const write = async (key: string) => {
    const [writer, reader] = [new Y.Doc(), new Y.Doc()];
    const providers = [writer, reader].map(
      (doc) =>
        new WebsocketProvider(`ws://127.0.0.1:${server.port}/sync`, name, doc, {
          WebSocketPolyfill: socketsWith(cookie),
          disableBc: true,
        }),
    );
    await until(() => providers.every(({ synced }) => synced));
    words(writer).set(key, 'theirs');
    await until(() => words(reader).has(key));
    for (const provider of providers) provider.destroy();
  };
  return { band, cookie, name, line, options, write };
}

describe('a document that is brought to the device', () => {
  it('opens without the server, though it was never opened here, and is renewed when it is brought again', async () => {
    const { cookie, name, line, options, write } = await withServer();
    await write('first');
    expect((await heldWhole([name])).size).toBe(0);
    const brought = await bringDocument(name, never(), options);
    expect(words(brought).toJSON()).toEqual({ first: 'theirs' });
    expect([...(await heldWhole([name]))]).toEqual([name]);
    await write('second');
    await bringDocument(name, never(), options);

    line.down(true);
    const alone = server.open(name, cookie, { sockets: line.sockets });
    await until(() => alone.status.getSnapshot().loaded);
    expect(alone.status.getSnapshot().state).toBe('offline');
    expect(words(alone.doc).toJSON()).toEqual({ first: 'theirs', second: 'theirs' });
    alone.destroy();
  });

  it('is said not to have come where the server is away, refuses, or it is stopped', async () => {
    const { name, line, options } = await withServer();
    line.down(true);
    await expect(bringDocument(name, never(), options)).rejects.toMatchObject({ why: 'away' });
    line.down(false);
    await expect(
      bringDocument(name, never(), { origin: options.origin, sockets: cuttable(null).sockets }),
    ).rejects.toMatchObject({ why: 'refused', refusal: { code: 'no session' } });
    const stopped = new AbortController();
    const bringing = bringDocument(name, stopped.signal, options);
    stopped.abort();
    await expect(bringing).rejects.toMatchObject({ name: 'AbortError' });
  });

  it('goes again, but for one with edits that the server has not got', async () => {
    const { cookie, name, line, options } = await withServer();
    await bringDocument(name, never(), options);
    line.down(true);
    const alone = server.open(name, cookie, { sockets: line.sockets });
    await until(() => alone.status.getSnapshot().loaded);
    words(alone.doc).set('mine', 'alone');
    await until(() => alone.mayLeave());
    alone.destroy();
    expect(await forgetKept([name])).toEqual([name]);
    expect((await heldWhole([name])).size).toBe(1);

    line.down(false);
    const later = server.open(name, cookie, { sockets: line.sockets });
    await until(() => later.status.getSnapshot().state === 'kept' && later.status.getSnapshot().loaded);
    await until(() => later.status.getSnapshot().unkept === null);
    later.destroy();
    await expect.poll(() => forgetKept([name])).toEqual([]);
    expect((await heldWhole([name])).size).toBe(0);
  });
});
