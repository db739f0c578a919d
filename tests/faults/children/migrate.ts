/**
 * A start on the store of an older version, for tests that end it midway: `migrate FILE DOCUMENT KILL`. It opens the
 * store, which brings its tables up to date, and then the document, which brings that up to date. KILL is a plan of
 * ending.ts in `open` or `document`.
 */
import { migrate, readSong } from '../../../lib/document';
import { openSqliteStore } from '../../../server/store';
import { Rooms } from '../../../server/sync';
import { mergeUpdates } from '../../../server/sync/merge';
import { endAt } from './ending';

const [file = '', document = '', kill = 'none'] = process.argv.slice(2);
const life = endAt(kill);
const store = openSqliteStore(file, { merge: mergeUpdates });
life.work = 'document';
const rooms = new Rooms(store, { prepare: migrate });
await rooms.read(document, readSong);
await rooms.settle();
await store.close();
process.exit(0);
