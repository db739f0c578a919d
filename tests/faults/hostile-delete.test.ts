import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { randomFrom } from '../../lib/base';
import { bandDocument, songDocument } from '../../lib/protocol';
import type { Store } from '../../server/ports';
import { openSqliteStore } from '../../server/store';
import { TestServer, until } from '../unit/server/harness';
import { plainSong } from './songs';

let folder: string;
let store: Store | null = null;
let server: TestServer | null = null;
afterEach(async () => {
  await server?.stop();
  await store?.close();
  server = null;
  store = null;
  rmSync(folder, { recursive: true, force: true });
});
const open = () => {
  folder = mkdtempSync(join(tmpdir(), 'breathmark-delete-'));
  store = openSqliteStore(join(folder, 'b.sqlite'));
  return store;
};
/** Everything that lies in the folder, byte by byte. */
const onDisk = () => readdirSync(folder).map((file) => readFileSync(join(folder, file)));
const holds = (text: string) => onDisk().some((bytes) => bytes.includes(text));

/** An update with a text in it that is found again byte for byte. */
function update(mark: string, length: number): Uint8Array {
  const doc = new Y.Doc();
  doc.getMap('m').set('k', `${mark}${'.'.repeat(length)}${mark}`);
  return Y.encodeStateAsUpdate(doc);
}

describe('a band that was deleted', () => {
  it('has left no byte of itself in the files, whatever was compacted before; the others have lost none', async () => {
    const disk = open();
    const random = randomFrom(5);
    for (const bandId of ['gone', 'stays']) {
      await disk.addBand(bandId, 1);
      const mark = `MARK-OF-${bandId}`;
      const link = {
        id: `link-${bandId}`,
        bandId,
        kind: 'player',
        createdAt: 1,
        endedAt: null,
        own: false,
      } as const;
      await disk.addLink(link, Buffer.from(`${bandId}-hash-of-32-bytes-------------`.slice(0, 32)));
      for (const name of [bandDocument(bandId), songDocument(bandId, 'a'), songDocument(bandId, 'b')]) {
        await disk.create(name, update(mark, 10));
        for (let round = 0; round < 3; round++) {
          await Promise.all(
            Array.from({ length: 20 }, () => disk.append(name, update(mark, Math.floor(random() * 9000)))),
          );
          if (round < 2) await disk.compact(name);
        }
      }
    }
    expect([holds('MARK-OF-gone'), holds('link-gone'), holds('gone-hash')]).toEqual([true, true, true]);
    await disk.deleteBand('gone');
    expect([holds('MARK-OF-gone'), holds('link-gone'), holds('gone-hash'), holds('song.gone')]).toEqual([
      false,
      false,
      false,
      false,
    ]);
    expect(holds('MARK-OF-stays')).toBe(true);
    expect(await disk.load(songDocument('gone', 'a'))).toBeNull();
    expect((await disk.load(songDocument('stays', 'a')))?.updates.length).toBeGreaterThan(1);
  });

  it('is deleted under the hands of people who write in it, and what they write goes nowhere', async () => {
    const disk = open();
    server = await TestServer.start({ store: disk });
    const { band, cookie } = await server.newBand();
    const other = await server.newBand();
    await server.ask(`/api/bands/${band.bandId}/songs`, { body: { song: plainSong('mill') }, cookie });
    const pages = Array.from({ length: 4 }, () =>
      server?.open(songDocument(band.bandId, 'mill'), cookie),
    ).filter((page) => page !== undefined);
    const neighbour = server.open(bandDocument(other.band.bandId), other.cookie);
    await Promise.all([...pages, neighbour].map((page) => page.settled));
    let writing = true;
    const writers = pages.map(async (page, who) => {
      for (let i = 0; writing; i++) {
        page.doc.getMap('m').set(`${who} ${i}`, 'WRITTEN-BY-SOMEBODY');
        await new Promise((done) => setImmediate(done));
      }
    });
    await until(() => holds('WRITTEN-BY-SOMEBODY'));
    const song = JSON.stringify({ song: plainSong('second') });
    const [gone, posted] = await Promise.all([
      server.ask(`/api/bands/${band.bandId}/delete`, { body: { name: 'The Testers' }, cookie }),
      server.ask(`/api/bands/${band.bandId}/songs`, { raw: song, cookie }),
    ]);
    expect(gone.status).toBe(200);
    expect([201, 403, 404, 410]).toContain(posted.status);
    for (const page of pages) await until(() => page.status.getSnapshot().state === 'not allowed');
    writing = false;
    await Promise.all(writers);
    neighbour.doc.getMap('m').set('still', 'STILL-HERE');
    await until(() => neighbour.status.getSnapshot().state === 'kept' && holds('STILL-HERE'));
    expect([holds('WRITTEN-BY-SOMEBODY'), holds(band.bandId), holds('Mill Race')]).toEqual([
      false,
      false,
      false,
    ]);
  });
});
