import { KINDS } from '../../lib/protocol';
import type { LinkRecord } from '../ports';

/** Raised with every change of the tables. */
export const VERSION = 1;

export const SCHEMA = `
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
  PRAGMA user_version = ${VERSION};
`;

export type Row = Readonly<Record<string, unknown>>;

export function readNumber(row: Row | undefined, column: string): number {
  const value = row?.[column];
  if (typeof value !== 'number') throw new Error(`no number in ${column}`);
  return value;
}

export function readText(row: Row, column: string): string {
  const value = row[column];
  if (typeof value !== 'string') throw new Error(`no text in ${column}`);
  return value;
}

export function readBlob(row: Row, column: string): Uint8Array {
  const value = row[column];
  if (!(value instanceof Uint8Array)) throw new Error(`no bytes in ${column}`);
  return value;
}

export function linkRow(row: Row): LinkRecord {
  const kind = KINDS.find((known) => known === row.kind);
  if (kind === undefined) throw new Error(`link of an unknown kind: ${String(row.kind)}`);
  return {
    id: readText(row, 'id'),
    bandId: readText(row, 'band'),
    kind,
    createdAt: readNumber(row, 'created_at'),
    endedAt: row.ended_at === null ? null : readNumber(row, 'ended_at'),
  };
}
