import type Database from 'better-sqlite3';
import { must } from '../../lib/base';
import { StoreTooNew } from './errors';
import { sumOf } from './sums';

/** From one version of the tables to the next. */
export interface Step {
  readonly from: number;
  /** What it adds, in a line. */
  readonly adds: string;
  /** Knows the SQL function `sum_of(name, bytes)`. */
  readonly sql: string;
}

/** A new store goes through every one of them, as an old one does through those that it lacks. Old rows stay as they are. */
export const STEPS: readonly Step[] = [
  {
    from: 0,
    adds: 'documents, bands and links',
    sql: `
      CREATE TABLE documents (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE);
      CREATE TABLE snapshots (document INTEGER PRIMARY KEY REFERENCES documents, state BLOB NOT NULL);
      CREATE TABLE updates (
        seq INTEGER PRIMARY KEY AUTOINCREMENT,
        document INTEGER NOT NULL REFERENCES documents,
        data BLOB NOT NULL
      );
      CREATE INDEX updates_of_document ON updates (document, seq);
      CREATE TABLE bands (id TEXT PRIMARY KEY, created_at INTEGER NOT NULL);
      CREATE TABLE links (
        id TEXT PRIMARY KEY,
        band TEXT NOT NULL REFERENCES bands,
        kind TEXT NOT NULL,
        hash BLOB NOT NULL UNIQUE,
        created_at INTEGER NOT NULL,
        ended_at INTEGER
      );
      CREATE INDEX links_of_band ON links (band);
    `,
  },
  {
    from: 1,
    adds: 'checksums, what the last snapshot was made of, a place for damaged rows; links that stand for one device',
    sql: `
      ALTER TABLE links ADD COLUMN own INTEGER NOT NULL DEFAULT 0;
      ALTER TABLE snapshots ADD COLUMN sum INTEGER NOT NULL DEFAULT 0;
      ALTER TABLE updates ADD COLUMN sum INTEGER NOT NULL DEFAULT 0;
      UPDATE snapshots SET sum = sum_of((SELECT name FROM documents WHERE id = document), state);
      UPDATE updates SET sum = sum_of((SELECT name FROM documents WHERE id = document), data);
      CREATE TABLE before (
        document INTEGER NOT NULL REFERENCES documents,
        seq INTEGER NOT NULL,
        data BLOB NOT NULL,
        sum INTEGER NOT NULL,
        PRIMARY KEY (document, seq)
      );
      CREATE TABLE damaged (
        id INTEGER PRIMARY KEY,
        document INTEGER NOT NULL REFERENCES documents,
        place TEXT NOT NULL,
        seq INTEGER NOT NULL,
        data BLOB,
        sum INTEGER,
        found_at INTEGER NOT NULL
      );
    `,
  },
];

/** Raised with every change of the tables. */
export const VERSION = STEPS.length;

export const versionOf = (db: Database.Database): number =>
  Number(db.pragma('user_version', { simple: true }));

/**
 * Brings a store's tables up to date in one transaction: whatever ends it midway, they are as they were. Throws
 * StoreTooNew where they are newer than the last step.
 */
export function migrateTables(db: Database.Database, steps: readonly Step[] = STEPS): void {
  const to = steps.length;
  const found = versionOf(db);
  if (found > to) throw new StoreTooNew(`${db.name} is of version ${found}, this is ${to}`);
  if (found === to) return;
  db.function('sum_of', { deterministic: true }, (name, bytes) => {
    if (typeof name !== 'string' || !(bytes instanceof Uint8Array)) throw new Error('sum_of(name, bytes)');
    return sumOf(name, bytes);
  });
  db.transaction(() => {
    for (let version = versionOf(db); version < to; version++) {
      const step = must(
        steps.find(({ from }) => from === version),
        `step from version ${version} of the tables`,
      );
      db.exec(step.sql);
    }
    db.pragma(`user_version = ${to}`);
  }).immediate();
}
