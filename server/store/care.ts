import {
  chmodSync,
  closeSync,
  copyFileSync,
  existsSync,
  fsyncSync,
  linkSync,
  openSync,
  renameSync,
  rmSync,
} from 'node:fs';
import { dirname } from 'node:path';
import type Database from 'better-sqlite3';
import type { Damage } from '../ports';
import { isWhole } from './documents';
import { named, StoreTooNew } from './errors';
import { holdStore } from './lock';
import { type Row, readNumber, readText } from './rows';
import { openFile } from './sqlite';
import { VERSION, versionOf } from './tables';

/** What stands in a store's file, read whole. */
export interface Inspection {
  readonly version: number;
  /** What SQLite itself finds wrong with the file; empty where nothing is. */
  readonly structure: readonly string[];
  readonly bands: number;
  readonly links: number;
  /** Rows that were set aside as damaged before. */
  readonly setAside: number;
  readonly documents: number;
}

/** One document as it would be served, and what is damaged of it. */
export interface InspectedDocument {
  readonly name: string;
  readonly rows: number;
  readonly bytes: number;
  readonly updates: readonly Uint8Array[];
  readonly damaged: readonly Damage[];
}

/** Opens a store's file for reading alone, beside whoever has it. Throws StoreTooNew, StoreDamaged. */
function openToRead(file: string): Database.Database {
  if (!existsSync(file)) throw new Error(`there is no ${file}`);
  const db = openFile(file, { fileMustExist: true });
  try {
    db.pragma('query_only = ON');
    const version = versionOf(db);
    if (version > VERSION) throw new StoreTooNew(`${file} is of version ${version}, this is ${VERSION}`);
    if (version === 0) throw new Error(`${file} is empty: nothing was ever kept in it`);
    return db;
  } catch (error) {
    db.close();
    throw named(error, file);
  }
}

/**
 * Reads every row of a store's file as it stands at one moment, and hands each document to `visit`. May be done while a
 * server has it. Files of an older version have no checksums to go by.
 */
export function inspectStore(file: string, visit: (document: InspectedDocument) => void): Inspection {
  const db = openToRead(file);
  try {
    return db.transaction(() => inspect(db, visit))();
  } catch (error) {
    throw named(error, file);
  } finally {
    db.close();
  }
}

function inspect(db: Database.Database, visit: (document: InspectedDocument) => void): Inspection {
  const version = versionOf(db);
  const count = (table: string) =>
    readNumber(db.prepare<[], Row>(`SELECT count(*) AS n FROM ${table}`).get(), 'n');
  const texts = (pragma: string) =>
    db
      .prepare<[], Row>(`SELECT * FROM ${pragma}`)
      .all()
      .map((row) => Object.values(row).join(' '));
  const structure = [
    ...texts('pragma_integrity_check').filter((text) => text !== 'ok'),
    ...texts('pragma_foreign_key_check'),
  ];
  const documents = db.prepare<[], Row>('SELECT id, name FROM documents ORDER BY name').all();
  const rowsOf = {
    snapshot: db.prepare<[number], Row>(
      `SELECT 0 AS seq, state AS data ${version > 1 ? ', sum' : ''} FROM snapshots WHERE document = ?`,
    ),
    before:
      version > 1
        ? db.prepare<[number], Row>('SELECT seq, data, sum FROM before WHERE document = ? ORDER BY seq')
        : null,
    update: db.prepare<[number], Row>(
      `SELECT seq, data ${version > 1 ? ', sum' : ''} FROM updates WHERE document = ? ORDER BY seq`,
    ),
  };
  for (const row of documents) visit(inspected(row));

  function inspected(row: Row): InspectedDocument {
    const id = readNumber(row, 'id');
    const name = readText(row, 'name');
    const damaged: Damage[] = [];
    const whole = (place: Damage['place']): Uint8Array[] =>
      (rowsOf[place]?.all(id) ?? []).flatMap((part) => {
        if (part.data instanceof Uint8Array && (version === 1 || isWhole(name, part))) return [part.data];
        damaged.push({ document: name, place, seq: readNumber(part, 'seq') });
        return [];
      });
    const snapshot = whole('snapshot');
    const before = whole('before');
    const updates = whole('update');
    const all = [...snapshot, ...before, ...updates];
    return {
      name,
      rows: all.length + damaged.length,
      bytes: all.reduce((sum, part) => sum + part.length, 0),
      updates: [...(snapshot.length > 0 ? snapshot : before), ...updates],
      damaged,
    };
  }

  return {
    version,
    structure,
    bands: count('bands'),
    links: count('links'),
    setAside: version > 1 ? count('damaged') : 0,
    documents: documents.length,
  };
}

/** Everything below that name, on the disk. */
function sync(path: string): void {
  const fd = openSync(path, 'r');
  try {
    fsyncSync(fd);
  } finally {
    closeSync(fd);
  }
}

/**
 * Writes what a store's file holds at this moment into a new file of its own, while a server may have it: readers and
 * writers go on meanwhile. The new file is its owner's alone, and has its name only when it is whole and on the disk.
 */
export function backUpStore(file: string, to: string): void {
  if (existsSync(to)) throw new Error(`${to} is there already`);
  const unfinished = `${to}.unfinished`;
  rmSync(unfinished, { force: true });
  const db = openToRead(file);
  try {
    db.pragma('query_only = OFF');
    db.prepare('VACUUM INTO ?').run(unfinished);
  } catch (error) {
    rmSync(unfinished, { force: true });
    throw named(error, file);
  } finally {
    db.close();
  }
  chmodSync(unfinished, 0o600);
  sync(unfinished);
  renameSync(unfinished, to);
  sync(dirname(to));
}

/** What was in the place of a restored store, until the next is restored. */
export const keptBeside = (file: string): string => `${file}.before`;

/**
 * Puts a backup in the place of a store that nobody has open; what was there before is kept beside it. At no moment is
 * there no store, or half of one, under its name. Throws StoreInUse.
 */
export function restoreStore(file: string, from: string): void {
  openToRead(from).close();
  const letGo = holdStore(file);
  try {
    const fresh = `${file}.restoring`;
    copyFileSync(from, fresh);
    chmodSync(fresh, 0o600);
    sync(fresh);
    if (existsSync(file)) {
      // What stands in the write-ahead log goes into the file, and no log is left that would be taken for the new one's.
      const old = openFile(file);
      old.pragma('wal_checkpoint(TRUNCATE)');
      old.pragma('journal_mode = DELETE');
      old.close();
      rmSync(keptBeside(file), { force: true });
      linkSync(file, keptBeside(file));
    }
    renameSync(fresh, file);
    sync(dirname(file));
  } finally {
    letGo();
  }
}
