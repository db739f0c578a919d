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

const [file = '', seed = '0', first = '1', calls = '0', kill = 'none'] = process.argv.slice(2);
const [killIn = 'none', killAt = '0'] = kill.split(' ');
const random = sourceFor(Number(seed), Number(first));
const said = openSync(join(dirname(file), 'said'), 'a');
const say = (text: string) => writeSync(said, `${text}\n`);

let left = Number(killAt);
/** One of the places where it may end. */
function pass(work: string): void {
  if (work !== killIn) return;
  left -= 1;
  if (left <= 0) process.kill(process.pid, 'SIGKILL');
}

// Every statement of a store passes here, also those that begin and commit.
let work = 'open';
const statements: { run: (...args: unknown[]) => unknown } = Object.getPrototypeOf(
  new Database(':memory:').prepare('SELECT 1'),
);
const { run } = statements;
statements.run = function counted(...args) {
  pass(work);
  const result = run.apply(this, args);
  pass(work);
  return result;
};
const { exec, function: define } = Database.prototype;
Database.prototype.exec = function counted(sql) {
  pass(work);
  return exec.call(this, sql);
};
// The checksums that a migration works out, row by row.
Database.prototype.function = function counted(name: string, options: unknown, does?: unknown) {
  if (typeof does !== 'function') return Reflect.apply(define, this, [name, options]);
  // SQLite asks the function itself how many values it takes.
  const counting = (name: unknown, bytes: unknown): unknown => {
    pass(work);
    return Reflect.apply(does, null, [name, bytes]);
  };
  return Reflect.apply(define, this, [name, options, counting]);
};
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
    pass('merge');
    return mergeNumbered(updates);
  },
  gatherMilliseconds: 1,
});
work = 'append';

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
    work = 'compact';
    // Edits go on beside it.
    const beside = append(document);
    await store.compact(`d${document}`);
    work = 'append';
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
