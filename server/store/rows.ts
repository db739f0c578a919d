import type Database from 'better-sqlite3';
import { KINDS } from '../../lib/protocol';
import type { LinkRecord } from '../ports';

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
    own: readNumber(row, 'own') === 1,
  };
}

/** Statements by their text, each prepared once. */
export class Statements {
  readonly #db: Database.Database;
  readonly #known = new Map<string, Database.Statement<unknown[], Row>>();

  constructor(db: Database.Database) {
    this.#db = db;
  }

  #of(sql: string): Database.Statement<unknown[], Row> {
    const known = this.#known.get(sql);
    if (known) return known;
    const made = this.#db.prepare<unknown[], Row>(sql);
    this.#known.set(sql, made);
    return made;
  }

  /** How many rows were changed. */
  run(sql: string, ...values: readonly unknown[]): number {
    return this.#of(sql).run(...values).changes;
  }

  get(sql: string, ...values: readonly unknown[]): Row | undefined {
    return this.#of(sql).get(...values);
  }

  all(sql: string, ...values: readonly unknown[]): Row[] {
    return this.#of(sql).all(...values);
  }
}
