/** A server of its own process without pages, for tests that end it: `server FILE PORT`. Says its port when it is open. */
import { createServer } from 'node:http';
import { Composed } from '../../../server/compose';
import { Metrics, makeLog, Watch } from '../../../server/ops';
import { startThread } from '../../../server/ports';
import { openWorkerStore } from '../../../server/store';

const [file = '', port = '0'] = process.argv.slice(2);
const clock = () => Date.now();
const watch = new Watch({ log: makeLog('silent'), metrics: new Metrics(), clock });
const store = await openWorkerStore(
  startThread(new URL('./store-worker.mjs', import.meta.url), { workerData: file }),
  { events: watch.events, broken: () => process.exit(1) },
);
watch.over(store);
const composed = await Composed.make({
  store,
  watch,
  key: new Uint8Array(32).fill(7),
  clock,
  demo: async () => {
    throw new Error('no demo in this test');
  },
  report: watch.report,
});
const server = createServer();
composed.serve(server, { draw: async (_request, response) => void response.end(), upgrade: null });
server.listen(Number(port), '127.0.0.1', () => {
  const address = server.address();
  console.log(typeof address === 'object' ? address?.port : '');
});
process.on('SIGTERM', async () => {
  watch.stopping();
  await composed.stop();
  process.exit(0);
});
