/**
 * `npm run backup -- FILE`, `npm run restore -- FILE`, `npm run check-data [-- FILE]`. The store is that of
 * BREATHMARK_DATA, by default `data` in the project's folder.
 */
import { existsSync, mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { backUpStore, keptBeside, restoreStore, StoreDamaged, StoreInUse, StoreTooNew } from '../store';
import { checkData } from './check';

const folder = resolve(
  fileURLToPath(new URL('../..', import.meta.url)),
  process.env.BREATHMARK_DATA || 'data',
);
const store = join(folder, 'breathmark.sqlite');

function stop(line: string): never {
  console.error(line);
  process.exit(1);
}

/** Prints what a file holds; the number of things that are wrong with it. */
function check(file: string): number {
  const { found, wrong, worthKnowing } = checkData(file);
  for (const line of [...found, ...worthKnowing]) console.log(line);
  for (const line of wrong) console.log(`WRONG  ${line}`);
  console.log(wrong.length === 0 ? 'All of it can be read.' : `${wrong.length} things are wrong.`);
  return wrong.length;
}

const COMMANDS: Readonly<Record<string, (given: string | undefined) => void>> = {
  backup(to) {
    if (to === undefined) stop('Say where to: npm run backup -- FILE');
    if (existsSync(to)) stop(`${to} is there already: give another name, or move it away first.`);
    backUpStore(store, resolve(to));
    console.log(`Everything is in ${to}.`);
    if (check(resolve(to)) > 0)
      stop('The backup holds what the store holds, and that is damaged: keep an older backup as well.');
  },
  restore(from) {
    if (from === undefined) stop('Say where from: npm run restore -- FILE');
    if (!existsSync(from)) stop(`There is no ${from}.`);
    if (check(resolve(from)) > 0) stop('Nothing was restored: the backup is damaged. Use another one.');
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    const had = existsSync(store);
    restoreStore(store, resolve(from));
    console.log(
      `${store} is as in ${from} now${had ? `; what it held before is in ${keptBeside(store)}` : ''}.`,
    );
  },
  check(file) {
    if (check(file === undefined ? store : resolve(file)) > 0) process.exit(1);
  },
};

const [name = '', given] = process.argv.slice(2);
const command = COMMANDS[name];
if (command === undefined) stop(`There is no command ${name}: backup, restore or check.`);
try {
  command(given);
} catch (error) {
  if (error instanceof StoreInUse) stop('A Breathmark is running on this data: stop it first, then restore.');
  if (error instanceof StoreTooNew) stop(`${error.message}: use the newer Breathmark.`);
  if (error instanceof StoreDamaged) stop(`It cannot be read (${error.message}): restore a backup.`);
  stop(error instanceof Error ? error.message : String(error));
}
