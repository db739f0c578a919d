/** Ours as it is served, every edit stored, for `ROOMS` songs of one band: `serve-ours.ts PORT FOLDER ROOMS`. */
import { createServer } from 'node:http';
import { join } from 'node:path';
import * as Y from 'yjs';
import { bandDocument, songDocument } from '../../../lib/protocol';
import { Composed } from '../../../server/compose';
import { startThread } from '../../../server/ports';
import { openWorkerStore } from '../../../server/store';
import { stands } from './probe';

const [port = '0', folder = '', rooms = '1'] = process.argv.slice(2);
const MANY = 1_000_000;
// Beside this script where it is built.
const worker = new URL('store-worker.mjs', import.meta.url);
const composed = await Composed.make({
  store: await openWorkerStore(startThread(worker, { workerData: join(folder, 'store.sqlite') })),
  key: new Uint8Array(32).fill(7),
  clock: () => Date.now(),
  demo: async () => {
    throw new Error('no demo here');
  },
  report: () => {},
  // All of the load comes from one address and plays one band.
  limits: { socketsFromAddress: MANY, socketsForBand: MANY, sockets: MANY, upgradesEachMinute: MANY },
});
const server = createServer();
composed.serve(server, { draw: async (_request, response) => void response.end(), upgrade: null });
server.listen(Number(port), '127.0.0.1', async () => {
  const made = await fetch(`http://127.0.0.1:${port}/api/bands`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ name: 'The Load' }),
  });
  const { bandId }: { bandId: string } = await made.json();
  const empty = new Y.Doc();
  for (let room = 0; room < Number(rooms); room++)
    await composed.rooms.create(songDocument(bandId, `r${room}`), empty);
  const cookie = made.headers.get('set-cookie')?.split(';')[0] ?? '';
  stands(`${bandDocument(bandId).slice('band.'.length)} ${cookie}`);
});
