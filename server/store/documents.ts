import type Database from 'better-sqlite3';
import { parseDocument } from '../../lib/protocol';
import type { Clock, Damage, Merge, StoredDocument, StoreEvents } from '../ports';
import { type Row, readBlob, readNumber, type Statements } from './rows';
import { sumOf } from './sums';

export interface Addition {
  readonly name: string;
  readonly update: Uint8Array;
}

interface Part {
  readonly place: Damage['place'];
  readonly seq: number;
  readonly data: Uint8Array;
}

interface Found {
  readonly id: number;
  /** The snapshot that serves; null where there is none, or none that is whole. */
  readonly snapshot: Part | null;
  /** Where no snapshot serves: what the last one was made of. */
  readonly before: readonly Part[];
  readonly updates: readonly Part[];
  readonly damaged: readonly Omit<Part, 'data'>[];
}

export interface DocumentCare {
  readonly merge: Merge | null;
  readonly clock: Clock;
  readonly events: StoreEvents;
}

/** The documents in a store's file. Every call is done, and on the disk, when it returns. */
export class Documents {
  readonly #db: Database.Database;
  readonly #sql: Statements;
  readonly #care: DocumentCare;
  readonly #ids = new Map<string, number>();
  readonly #appendAll: (additions: readonly Addition[]) => readonly boolean[];

  constructor(db: Database.Database, sql: Statements, care: DocumentCare) {
    this.#db = db;
    this.#sql = sql;
    this.#care = care;
    this.#appendAll = db.transaction((additions: readonly Addition[]) =>
      additions.map(({ name, update }) => {
        const id = this.#idOf(name);
        if (id === null) return false;
        this.#add(id, name, update);
        return true;
      }),
    ).immediate;
  }

  load(name: string): StoredDocument | null {
    const found = this.#find(name);
    if (found === null) return null;
    if (found.damaged.length > 0) {
      this.#report(name, found);
      try {
        this.#db.transaction(() => this.#setAside(found)).immediate();
      } catch {
        // Where there is no room to set them aside, they lie where they were and are passed over all the same.
      }
    }
    return { updates: allOf(found).map(({ data }) => data), sinceSnapshot: found.updates.length };
  }

  create(name: string, update: Uint8Array): boolean {
    return this.#db
      .transaction(() => {
        if (this.#idOf(name) !== null) return false;
        this.#sql.run('INSERT INTO documents (name) VALUES (?)', name);
        const id = readNumber(this.#sql.get('SELECT id FROM documents WHERE name = ?', name), 'id');
        this.#add(id, name, update);
        return true;
      })
      .immediate();
  }

  /** Adds all of them in one transaction; false for those whose document does not exist. */
  appendAll(additions: readonly Addition[]): readonly boolean[] {
    const started = performance.now();
    let kept: readonly boolean[];
    try {
      kept = this.#appendAll(additions);
    } catch (error) {
      this.#care.events.refused?.(additions.length);
      throw error;
    }
    this.#care.events.committed?.(additions.length, performance.now() - started);
    return kept;
  }

  /**
   * In one transaction: reads what stands, writes one snapshot of it, puts the rows that it read (and no other) in the
   * place of what the snapshot before was made of, so that a damaged snapshot can be made again without loss.
   */
  compact(name: string): void {
    const { merge } = this.#care;
    if (merge === null) return;
    const found = this.#db
      .transaction(() => {
        const found = this.#find(name);
        if (found === null) return null;
        const { id, snapshot, updates } = found;
        this.#setAside(found);
        if (updates.length === 0 && snapshot !== null) return found;
        const parts = allOf(found);
        if (parts.length === 0) return found;
        const state = merge(parts.map(({ data }) => data));
        if (snapshot !== null) {
          this.#sql.run('DELETE FROM before WHERE document = ?', id);
          this.#sql.run(
            'INSERT INTO before (document, seq, data, sum) SELECT document, 0, state, sum FROM snapshots WHERE document = ?',
            id,
          );
        }
        for (const { seq } of updates) {
          this.#sql.run(
            'INSERT INTO before (document, seq, data, sum) SELECT document, seq, data, sum FROM updates WHERE seq = ?',
            seq,
          );
          this.#sql.run('DELETE FROM updates WHERE seq = ?', seq);
        }
        this.#sql.run(
          'INSERT INTO snapshots (document, state, sum) VALUES (?, ?, ?) ON CONFLICT (document) DO UPDATE SET state = excluded.state, sum = excluded.sum',
          id,
          state,
          sumOf(name, state),
        );
        return found;
      })
      .immediate();
    if (found === null) return;
    this.#report(name, found);
    this.#care.events.compacted?.(found.updates.length);
  }

  /** The rows of that band are gone. */
  forget(bandId: string): void {
    for (const name of this.#ids.keys()) if (parseDocument(name)?.bandId === bandId) this.#ids.delete(name);
  }

  #add(id: number, name: string, update: Uint8Array): void {
    this.#sql.run(
      'INSERT INTO updates (document, data, sum) VALUES (?, ?, ?)',
      id,
      update,
      sumOf(name, update),
    );
  }

  #find(name: string): Found | null {
    const id = this.#idOf(name);
    if (id === null) return null;
    const damaged: Omit<Part, 'data'>[] = [];
    const whole = (place: Damage['place'], rows: readonly Row[]): Part[] =>
      rows.flatMap((row) => {
        const seq = readNumber(row, 'seq');
        if (isWhole(name, row)) return [{ place, seq, data: readBlob(row, 'data') }];
        damaged.push({ place, seq });
        return [];
      });
    const snapshots = whole(
      'snapshot',
      this.#sql.all('SELECT 0 AS seq, state AS data, sum FROM snapshots WHERE document = ?', id),
    );
    const snapshot = snapshots[0] ?? null;
    const rowsOf = (table: 'before' | 'updates') =>
      this.#sql.all(`SELECT seq, data, sum FROM ${table} WHERE document = ? ORDER BY seq`, id);
    return {
      id,
      snapshot,
      before: snapshot === null ? whole('before', rowsOf('before')) : [],
      updates: whole('update', rowsOf('updates')),
      damaged,
    };
  }

  /** Moves damaged rows out of the way; part of a transaction. */
  #setAside({ id, damaged }: Found): void {
    const now = this.#care.clock();
    for (const { place, seq } of damaged) {
      const { table, data, seq: column } = PLACES[place];
      const here = `FROM ${table} WHERE document = ? AND ${column} = ?`;
      this.#sql.run(
        `INSERT INTO damaged (document, place, seq, data, sum, found_at) SELECT document, ?, ${column}, ${data}, sum, ? ${here}`,
        place,
        now,
        id,
        seq,
      );
      this.#sql.run(`DELETE ${here}`, id, seq);
    }
  }

  #report(name: string, { damaged }: Found): void {
    for (const { place, seq } of damaged) this.#care.events.damaged?.({ document: name, place, seq });
  }

  /** An id once seen stays true until its band is deleted. */
  #idOf(name: string): number | null {
    const known = this.#ids.get(name);
    if (known !== undefined) return known;
    const row = this.#sql.get('SELECT id FROM documents WHERE name = ?', name);
    if (row === undefined) return null;
    const id = readNumber(row, 'id');
    // Inside a transaction that may yet fail, a new id is not remembered.
    if (!this.#db.inTransaction) this.#ids.set(name, id);
    return id;
  }
}

/** Where each kind of row lies; a document has one snapshot, whose number is 0. */
const PLACES = {
  snapshot: { table: 'snapshots', data: 'state', seq: '0' },
  before: { table: 'before', data: 'data', seq: 'seq' },
  update: { table: 'updates', data: 'data', seq: 'seq' },
} as const satisfies Record<Damage['place'], { table: string; data: string; seq: string }>;

const allOf = ({ snapshot, before, updates }: Found): readonly Part[] => [
  ...(snapshot === null ? before : [snapshot]),
  ...updates,
];

/** Whether a row of `data` and `sum` is as it was written. */
export const isWhole = (name: string, row: Row): boolean =>
  row.data instanceof Uint8Array && row.sum === sumOf(name, row.data);
