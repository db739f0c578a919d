import 'fake-indexeddb/auto';
import { afterEach, describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { bandsHere, forgetBand, type openDocument } from '../../../app/sync';
import { Ledger } from '../../../app/sync/ledger';
import { bandDocument } from '../../../lib/protocol';
import type { Store } from '../../../server/ports';
import { memoryStore } from '../../../server/store';
import { mergeUpdates } from '../../../server/sync/merge';
import { cuttable, TestServer, until } from '../server/harness';

// What a device holds, on the real server; the store of the browser is stood in for by fake-indexeddb.

let server: TestServer;
afterEach(async () => {
  await server.stop();
  for (const bandId of await bandsHere()) await forgetBand(bandId, 'all');
});

const words = (doc: Y.Doc) => doc.getMap<string>('test');
type Opened = ReturnType<typeof openDocument>;
const says = (page: Opened) => page.status.getSnapshot();

const storedWords = async (store: Store, name: string) => {
  const doc = new Y.Doc();
  Y.applyUpdate(doc, mergeUpdates((await store.load(name))?.updates ?? []));
  return words(doc).toJSON();
};

/** A band with one document that this device has opened and that is written here whole. */
async function opened(store: Store = memoryStore(mergeUpdates)) {
  server = await TestServer.start({ store });
  const { band, cookie } = await server.newBand();
  const name = bandDocument(band.bandId);
  const line = cuttable(cookie);
  const page = server.open(name, cookie, { sockets: line.sockets });
  await page.settled;
  words(page.doc).set('first', 'kept');
  await until(() => says(page).state === 'kept');
  await isWritten(name);
  const again = () => server.open(name, cookie, { sockets: line.sockets });
  return { store, band, cookie, name, line, page, again };
}

async function isWritten(name: string): Promise<void> {
  const ledger = await Ledger.open();
  if (!ledger) throw new Error('no store on this device');
  while ((await ledger.held(name)) === null) await new Promise((done) => setTimeout(done, 2));
  ledger.close();
}

async function names(): Promise<readonly string[]> {
  const ledger = await Ledger.open();
  const found = (await ledger?.names()) ?? [];
  ledger?.close();
  return found;
}

const databases = async () =>
  (await indexedDB.databases()).map(({ name }) => name).filter((name) => name !== 'breathmark');

describe('a document on the device', () => {
  it('opens without the server, takes edits, and gives them to the server when it is back', async () => {
    const { store, name, line, page, again } = await opened();
    page.destroy();
    line.down(true);

    const cold = again();
    await until(() => says(cold).loaded && says(cold).state === 'offline');
    expect(words(cold.doc).toJSON()).toEqual({ first: 'kept' });
    expect(says(cold)).toMatchObject({ mayEdit: true, onDevice: true, unkept: null });
    words(cold.doc).set('second', 'made alone');
    words(cold.doc).set('third', 'made alone');
    expect(says(cold).unkept?.count).toBe(2);
    await until(() => cold.mayLeave());
    cold.destroy();

    const later = again();
    await until(() => says(later).loaded);
    expect(words(later.doc).toJSON()).toEqual({
      first: 'kept',
      second: 'made alone',
      third: 'made alone',
    });
    words(later.doc).set('fourth', 'made after');
    expect(says(later).unkept?.count).toBe(3);
    line.down(false);
    await until(() => says(later).state === 'kept');
    expect(says(later)).toMatchObject({ unkept: null, merged: false });
    expect(await storedWords(store, name)).toMatchObject({ second: 'made alone', fourth: 'made after' });
    later.destroy();

    // The server's word counts for what was made before the page was opened, too.
    line.down(true);
    const last = again();
    await until(() => says(last).loaded);
    expect(says(last).unkept).toBe(null);
  });

  it('says that it was merged where others made edits meanwhile, until the next edit here', async () => {
    const { name, cookie, line, page } = await opened();
    line.down(true);
    line.cut();
    await until(() => says(page).state === 'offline');
    words(page.doc).set('mine', 'alone');
    const other = server.open(name, cookie, { doc: new Y.Doc() });
    await other.settled;
    words(other.doc).set('theirs', 'meanwhile');
    await until(() => says(other).state === 'kept');
    expect(says(other).merged).toBe(false);
    line.down(false);
    await until(() => says(page).state === 'kept');
    expect(says(page).merged).toBe(true);
    expect(words(page.doc).toJSON()).toMatchObject({ mine: 'alone', theirs: 'meanwhile' });
    words(page.doc).set('mine', 'again');
    expect(says(page).merged).toBe(false);
  });

  it('goes when the device leaves the band', async () => {
    const { band, cookie, name, page } = await opened();
    expect(await names()).toEqual([name]);
    await server.ask('/api/leave', { body: { bandId: band.bandId }, cookie });
    await until(() => says(page).state === 'not allowed');
    expect(says(page).problem?.code).toBe('not your band');
    while ((await names()).length > 0 || (await databases()).length > 0)
      await new Promise((done) => setTimeout(done, 2));
    expect(says(page)).toMatchObject({ mayEdit: false, onDevice: false });
  });

  it('stays while it holds edits that only a device without a session has', async () => {
    const { name, line, page } = await opened();
    line.down(true);
    line.cut();
    await until(() => says(page).state === 'offline');
    words(page.doc).set('mine', 'alone');
    await until(() => page.mayLeave());
    page.destroy();
    const guest = server.open(name, null);
    await until(() => says(guest).state === 'not allowed');
    expect(says(guest).problem?.code).toBe('no session');
    // Nothing to wait for: it is to stay. A band of the same device that has nothing unkept shows that it had time to go.
    const { band } = await server.newBand();
    const second = bandDocument(band.bandId);
    const refused = server.open(second, null);
    await until(() => says(refused).state === 'not allowed');
    while ((await names()).includes(second)) await new Promise((done) => setTimeout(done, 2));
    expect(await names()).toEqual([name]);
  });

  it('is not sent to a server that has another of the same name', async () => {
    const { store, name, page, cookie } = await opened();
    page.destroy();
    await server.stop();
    // The same bands and links, and a document that was made anew.
    const anew = memoryStore(mergeUpdates);
    const made = new Y.Doc();
    words(made).set('other', 'made anew');
    await anew.create(name, Y.encodeStateAsUpdate(made));
    const { load, append, create, compact } = anew;
    server = await TestServer.start({ store: { ...store, load, append, create, compact } });

    let replaced = 0;
    const stale = server.open(name, cookie, {
      onReplaced: () => {
        replaced += 1;
      },
    });
    await until(() => replaced === 1);
    expect(words(stale.doc).toJSON()).toEqual({ first: 'kept' });
    const fresh = server.open(name, cookie);
    await fresh.settled;
    expect(words(fresh.doc).toJSON()).toEqual({ other: 'made anew' });
    words(fresh.doc).set('goes', 'on');
    await until(() => says(fresh).state === 'kept');
    expect(await storedWords(anew, name)).toEqual({ other: 'made anew', goes: 'on' });
  });

  it('is not needed: where it is taken away, the page says that edits are in the page alone', async () => {
    const { name, page, line } = await opened();
    await forgetBand(name.slice('band.'.length), 'all');
    await until(() => !says(page).onDevice);
    line.down(true);
    line.cut();
    await until(() => says(page).state === 'offline');
    words(page.doc).set('mine', 'alone');
    expect(page.mayLeave()).toBe(false);
    line.down(false);
    await until(() => says(page).state === 'kept');
    expect(page.mayLeave()).toBe(true);
  });

  it('is not to be edited by a listener, with or without the server', async () => {
    const { band, name, page } = await opened();
    page.destroy();
    await forgetBand(band.bandId, 'all');
    const line = cuttable(await server.enterBy(band.links.listener.path));
    const first = server.open(name, null, { sockets: line.sockets });
    await first.settled;
    await isWritten(name);
    first.destroy();
    line.down(true);
    const cold = server.open(name, null, { sockets: line.sockets });
    await until(() => says(cold).loaded && says(cold).state === 'offline');
    expect(words(cold.doc).toJSON()).toEqual({ first: 'kept' });
    expect(says(cold).mayEdit).toBe(false);
  });
});
