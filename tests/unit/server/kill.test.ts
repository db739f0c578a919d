import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, expect, it } from 'vitest';
import * as Y from 'yjs';
import { openDocument } from '../../../app/sync';
import { bandDocument } from '../../../lib/protocol';
import { openSqliteStore } from '../../../server/store';
import { mergeUpdates } from '../../../server/sync/merge';
import { socketsWith } from '../../sockets';
import { until } from './harness';

const root = fileURLToPath(new URL('../../..', import.meta.url));
const running: ChildProcess[] = [];
let folder: string | null = null;
afterEach(() => {
  for (const child of running) child.kill('SIGKILL');
  if (folder !== null) rmSync(folder, { recursive: true, force: true });
});

async function start(file: string, port: number): Promise<ChildProcess> {
  const child = spawn(
    process.execPath,
    ['--import', 'tsx', 'tests/unit/server/child.ts', file, String(port)],
    {
      cwd: root,
      stdio: ['ignore', 'pipe', 'inherit'],
    },
  );
  running.push(child);
  await new Promise<void>((done, broken) => {
    child.stdout?.on('data', () => done());
    child.on('exit', () => broken(new Error('the server did not start')));
  });
  return child;
}

const freePort = () =>
  new Promise<number>((done) => {
    const server = createServer().listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() => done(typeof address === 'object' && address ? address.port : 0));
    });
  });

const gone = (child: ChildProcess) => new Promise((done) => child.on('exit', done));

it('a server that is killed in the middle of edits has all that it called kept, and the pages bring the rest', async () => {
  folder = mkdtempSync(join(tmpdir(), 'breathmark-kill-'));
  const file = join(folder, 'store.sqlite');
  const port = await freePort();
  const first = await start(file, port);
  const made = await fetch(`http://127.0.0.1:${port}/api/bands`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ name: 'The Testers' }),
  });
  const cookie = made.headers.get('set-cookie')?.split(';')[0] ?? '';
  const { bandId } = await made.json();
  const name = bandDocument(bandId);
  const page = openDocument(name, {
    origin: `ws://127.0.0.1:${port}`,
    sockets: socketsWith(cookie),
    longestWait: 100,
  });
  const words = page.doc.getMap<number>('test');
  let count = 0;
  let keptUpTo = 0;
  page.status.subscribe(() => {
    if (page.status.getSnapshot().state === 'kept') keptUpTo = count;
  });
  await page.settled;
  const typing = setInterval(() => {
    count += 1;
    words.set(`edit ${count}`, count);
  }, 1);
  await until(() => keptUpTo > 20);
  // While it is still typing.
  const calledKept = keptUpTo;
  first.kill('SIGKILL');
  await gone(first);
  clearInterval(typing);
  const store = openSqliteStore(file);
  const doc = new Y.Doc();
  Y.applyUpdate(doc, mergeUpdates((await store.load(name))?.updates ?? []));
  await store.close();
  const found = doc.getMap<number>('test');
  for (let i = 1; i <= calledKept; i++) expect(found.get(`edit ${i}`)).toBe(i);

  await until(() => page.status.getSnapshot().state === 'offline');
  words.set('made offline', 1);
  const second = await start(file, port);
  await until(() => page.status.getSnapshot().state === 'kept');
  second.kill('SIGKILL');
  await gone(second);
  const after = openSqliteStore(file);
  const all = new Y.Doc();
  Y.applyUpdate(all, mergeUpdates((await after.load(name))?.updates ?? []));
  await after.close();
  expect(all.getMap('test').toJSON()).toEqual(words.toJSON());
  page.destroy();
});
