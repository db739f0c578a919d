/** A store's thread whose merge is that of the contract test. */
import { parentPort, workerData } from 'node:worker_threads';
import { must } from '../../../lib/base';
import { serveStore } from '../../../server/store';
import { joined } from './joined';

serveStore(must(parentPort, 'the port of a worker'), String(workerData), { merge: joined });
