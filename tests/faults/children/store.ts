/**
 * A program that works a store until it is ended, for tests that end it: `store FILE SEED FIRST CALLS KILL`.
 * It numbers its updates from FIRST on and writes into the file `said` beside the store what it was told: `made N`
 * for a document, `N NUMBER` for an update of document N that was called kept.
 * KILL is where it ends itself with SIGKILL: `none`, `append I`, `compact I`, `merge I`, `open I`: at the I-th statement
 * that is run, or I-th merge, of that work.
 */
import { openSync, writeSync } from 'node:fs';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { openSqliteStore } from '../../../server/store';
import { mergeNumbered, numbered, someFilling, sourceFor } from '../numbered';
import { endAt } from './ending';

const [file = '', seed = '0', first = '1', calls = '0', kill = 'none'] = process.argv.slice(2);
const random = sourceFor(Number(seed), Number(first));
const said = openSync(join(dirname(file), 'said'), 'a');
const say = (text: string) => writeSync(said, `${text}\n`);

const life = endAt(kill);
const { pragma } = Database.prototype;
Database.prototype.pragma = function other(source: string, options?: Database.PragmaOptions) {
  if (!source.startsWith('synchronous = ')) return pragma.call(this, source, options);
  // The log goes into the file far more often than it would by itself, so that short lives see it too.
  pragma.call(this, `wal_autocheckpoint = ${20 + (Number(seed) % 7) * 30}`);
  // The other setting is only to see that the test finds what a store would lose that syncs less.
  const { STORE_SYNCHRONOUS: less } = process.env;
  return pragma.call(this, less === undefined ? source : `synchronous = ${less}`, options);
};

const store = openSqliteStore(file, {
  merge: (updates) => {
    life.pass('merge');
    return mergeNumbered(updates);
  },
  gatherMilliseconds: 1,
});
life.work = 'append';

const DOCUMENTS = 4;
let number = Number(first);
for (let document = 0; document < DOCUMENTS; document++)
  if (await store.create(`d${document}`, numbered(number, 10))) {
    say(`made ${document}`);
    say(`${document} ${number}`);
    number += 1;
  }
let waiting: Promise<unknown>[] = [];
for (let call = 0; call < Number(calls); call++) {
  const document = Math.floor(random() * DOCUMENTS);
  if (random() < 0.04) {
    await Promise.all(waiting);
    waiting = [];
    life.work = 'compact';
    // Edits go on beside it.
    const beside = append(document);
    await store.compact(`d${document}`);
    life.work = 'append';
    await beside;
  } else waiting.push(append(document));
  if (random() < 0.1) {
    await Promise.all(waiting);
    waiting = [];
  }
}
await Promise.all(waiting);
await store.close();
say('closed');

function append(document: number): Promise<void> {
  const mine = number;
  number += 1;
  return store.append(`d${document}`, numbered(mine, someFilling(random))).then(() => {
    say(`${document} ${mine}`);
  });
}
