import { NoRoom } from '../ports';

/** Another process has the file. */
export class StoreInUse extends Error {}
/** The file was written by a newer Breathmark. */
export class StoreTooNew extends Error {}
/** The file is no store, or so damaged that it cannot be opened. */
export class StoreDamaged extends Error {}

/** SQLite's name of an error; empty for errors of other origin. */
const codeOf = (error: unknown): string =>
  error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : '';

/** An error of SQLite as one of ours, where we have a name for it. */
export function named(error: unknown, file: string): unknown {
  const code = codeOf(error);
  if (code === 'SQLITE_FULL' || code === 'ENOSPC') return new NoRoom(`no room for ${file}`, { cause: error });
  if (code.startsWith('SQLITE_BUSY') || code.startsWith('SQLITE_LOCKED')) return new StoreInUse(file);
  if (code.startsWith('SQLITE_CORRUPT') || code === 'SQLITE_NOTADB')
    return new StoreDamaged(`${file}: ${error instanceof Error ? error.message : code}`);
  return error;
}

/** An error as it crosses from the worker: its class is lost on the way, so its name goes with it. */
export interface Carried {
  readonly name: string;
  readonly message: string;
}

const CLASSES = { NoRoom, StoreInUse, StoreTooNew, StoreDamaged };
type Known = keyof typeof CLASSES;
const isKnown = (name: string): name is Known => Object.hasOwn(CLASSES, name);

export function carry(error: unknown): Carried {
  if (!(error instanceof Error)) return { name: 'Error', message: String(error) };
  return { name: error.constructor.name, message: error.message };
}

export function carriedError({ name, message }: Carried): Error {
  return isKnown(name) ? new CLASSES[name](message) : new Error(message);
}
