/** The thread that has the store's file; its way to it comes as the worker's data. */
import { parentPort, workerData } from 'node:worker_threads';
import { must } from '../lib/base';
import { serveStore } from './store';
import { mergeUpdates } from './sync/merge';

const file: unknown = workerData;
if (typeof file !== 'string') throw new Error('the worker’s data is the way to the file');
serveStore(must(parentPort, 'the port of a worker'), file, { merge: mergeUpdates });
