import { type ExecFileException, execFile } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { newBandDocument, newSongDocument } from '../../../lib/document';
import { USUAL_SONG } from '../../../lib/song';
import { startThread } from '../../../server/ports';
import { backUpStore, openSqliteStore, openWorkerStore } from '../../../server/store';
import { BAND, SONG } from '../document/sample';

const root = fileURLToPath(new URL('../../..', import.meta.url));
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'breathmark-care-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const file = () => join(folder, 'breathmark.sqlite');
const bytes = (...values: number[]) => new Uint8Array(values);

/** One of the three commands, as `npm run` calls them. */
function command(...args: string[]): Promise<{ code: number; out: string }> {
  return new Promise((done) => {
    execFile(
      process.execPath,
      ['--import', 'tsx', 'server/ops/command.ts', ...args],
      { cwd: root, env: { ...process.env, BREATHMARK_DATA: folder } },
      (error: ExecFileException | null, stdout, stderr) =>
        done({ code: error === null ? 0 : Number(error.code), out: stdout + stderr }),
    );
  });
}

async function fill(): Promise<void> {
  const store = openSqliteStore(file());
  await store.addBand('weir', 1);
  const band = newBandDocument({ ...BAND, id: 'weir', songs: [{ ...USUAL_SONG, id: 'a', title: 'A' }] });
  await store.create('band.weir', Y.encodeStateAsUpdate(band));
  await store.create('song.weir.a', Y.encodeStateAsUpdate(newSongDocument({ ...SONG, id: 'a' })));
  await store.close();
}

const harm = (sql: string) => {
  const db = new Database(file());
  db.exec(sql);
  db.close();
};

describe('the commands', () => {
  it('back up beside a running store, and put a backup back when it has stopped', async () => {
    await fill();
    const store = openSqliteStore(file());
    const to = join(folder, 'weekly.backup');
    const backedUp = await command('backup', to);
    expect(backedUp).toMatchObject({ code: 0, out: expect.stringContaining('All of it can be read.') });
    expect(backedUp.out).toContain('2 documents (1 songs)');
    expect(await command('backup', to)).toMatchObject({ code: 1, out: expect.stringContaining('already') });
    await store.create('song.weir.b', bytes(0, 0));
    expect(await command('restore', to)).toMatchObject({
      code: 1,
      out: expect.stringContaining('stop it first'),
    });
    await store.close();
    expect(await command('restore', to)).toMatchObject({ code: 0 });
    for (const path of [to, file()]) expect(statSync(path).mode & 0o777).toBe(0o600);
    const again = openSqliteStore(file());
    expect(await again.load('song.weir.a')).not.toBeNull();
    expect(await again.load('song.weir.b')).toBeNull();
    await again.close();
    // What was there before is kept beside it, whole.
    const before = openSqliteStore(join(folder, 'breathmark.sqlite.before'));
    expect(await before.load('song.weir.b')).not.toBeNull();
    await before.close();
  });

  it('check everything, and say what is wrong with the way out of it', async () => {
    await fill();
    expect(await command('check')).toMatchObject({
      code: 0,
      out: expect.stringContaining('1 bands, 0 links'),
    });
    harm('DELETE FROM updates WHERE document = 2');
    harm('DELETE FROM documents WHERE id = 2');
    expect(await command('check')).toMatchObject({
      code: 0,
      out: expect.stringContaining("song.weir.a: in its band's list, but not there"),
    });
    harm(`UPDATE updates SET data = x'0102'`);
    expect(await command('check')).toMatchObject({
      code: 1,
      out: expect.stringContaining('band.weir: update 1 is not as it was written'),
    });
    const to = join(folder, 'late.backup');
    expect(await command('backup', to)).toMatchObject({
      code: 1,
      out: expect.stringContaining('older backup'),
    });
    const before = readFileSync(file());
    expect(await command('restore', to)).toMatchObject({
      code: 1,
      out: expect.stringContaining('Nothing was restored'),
    });
    expect(readFileSync(file()).equals(before)).toBe(true);
    writeFileSync(file(), 'no store at all, but a text that is long enough to be taken for one\n'.repeat(40));
    expect(await command('check')).toMatchObject({ code: 1, out: expect.stringContaining('cannot be read') });
  });

  it('say how they are called', async () => {
    expect(await command('backup')).toMatchObject({
      code: 1,
      out: expect.stringContaining('npm run backup -- FILE'),
    });
    expect(await command('restore', join(folder, 'none'))).toMatchObject({ code: 1 });
    expect(await command('check')).toMatchObject({ code: 1, out: expect.stringContaining('there is no') });
    expect(await command('mend')).toMatchObject({ code: 1 });
    expect(existsSync(file())).toBe(false);
  });
});

it('a backup under a storm of edits holds everything that was kept when it began, and whole edits only', async () => {
  const store = await openWorkerStore(
    startThread(new URL('../../../server/store-worker.ts', import.meta.url), { workerData: file() }),
  );
  const doc = new Y.Doc();
  await store.create('song.weir.a', Y.encodeStateAsUpdate(doc));
  let count = 0;
  let kept = 0;
  let going = true;
  const pending: Promise<void>[] = [];
  doc.on('update', (update: Uint8Array) => {
    const number = count;
    pending.push(
      store.append('song.weir.a', update).then(() => {
        kept = Math.max(kept, number);
      }),
    );
  });
  const storm = (async () => {
    while (going) {
      count += 1;
      doc.getMap('test').set(String(count), 'x'.repeat(200));
      if (count % 400 === 0) void store.compact('song.weir.a');
      await new Promise((done) => setImmediate(done));
    }
  })();
  const backups: { to: string; kept: number }[] = [];
  for (let i = 0; i < 5; i++) {
    const to = join(folder, `${i}.backup`);
    while (kept < 200 * (i + 1)) await new Promise((done) => setImmediate(done));
    backups.push({ to, kept });
    backUpStore(file(), to);
  }
  going = false;
  await storm;
  await Promise.all(pending);
  await store.close();
  for (const { to, kept } of backups) {
    const copy = openSqliteStore(to);
    const read = new Y.Doc();
    for (const update of (await copy.load('song.weir.a'))?.updates ?? []) Y.applyUpdate(read, update);
    await copy.close();
    for (let i = 1; i <= kept; i++) expect(read.getMap('test').get(String(i))).toHaveLength(200);
    expect(read.store.pendingStructs).toBeNull();
  }
});
