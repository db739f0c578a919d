/** A server of its own process, for tests that kill it: `child.ts FILE PORT`. Says `ready` when it is. */
import { createServer } from 'node:http';
import { Composed } from '../../../server/compose';
import { openSqliteStore } from '../../../server/store';

const [file = '', port = '0'] = process.argv.slice(2);
const composed = await Composed.make({
  store: openSqliteStore(file),
  key: new Uint8Array(32).fill(7),
  clock: () => Date.now(),
  demo: async () => {
    throw new Error('no demo in this test');
  },
  report: () => {},
});
const server = createServer();
composed.serve(server, { draw: async (_request, response) => void response.end(), upgrade: null });
server.listen(Number(port), '127.0.0.1', () => console.log('ready'));
