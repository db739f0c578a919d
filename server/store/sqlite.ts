import Database from 'better-sqlite3';
import type { LinkRecord, Merge, Store, StoredDocument } from '../ports';
import { CommitQueue } from './queue';
import { linkRow, type Row, readBlob, readNumber, SCHEMA, VERSION } from './schema';

/** Another process has the file. */
export class StoreInUse extends Error {}
/** The file was written by a newer Breathmark. */
export class StoreTooNew extends Error {}

export interface SqliteOptions {
  /** How long edits are gathered before one commit for all of them. */
  readonly groupMilliseconds?: number;
}

/**
 * One SQLite file. Write-ahead log with synchronous=FULL: each commit is on the disk before it is answered for, so a
 * power cut cannot take what was called kept (NORMAL could lose the last commits); gathering edits for a few
 * milliseconds keeps the price low. The file is locked for this process alone: two servers on one file would each
 * hold rooms of their own.
 */
export function openSqliteStore(file: string, options: SqliteOptions = {}): Store {
  return new SqliteStore(open(file), options.groupMilliseconds ?? 4);
}

function open(file: string): Database.Database {
  const db = new Database(file, { timeout: 1000 });
  try {
    db.pragma('locking_mode = EXCLUSIVE');
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    const version = Number(db.pragma('user_version', { simple: true }));
    if (version > VERSION) throw new StoreTooNew(`${file} is of version ${version}, this is ${VERSION}`);
    db.exec('BEGIN IMMEDIATE');
    if (version < VERSION) db.exec(SCHEMA);
    db.exec('COMMIT');
    return db;
  } catch (error) {
    db.close();
    if (error instanceof Error && 'code' in error && String(error.code).startsWith('SQLITE_BUSY')) {
      throw new StoreInUse(file);
    }
    throw error;
  }
}

interface Addition {
  readonly name: string;
  readonly update: Uint8Array;
}

class SqliteStore implements Store {
  readonly #db: Database.Database;
  readonly #queue: CommitQueue<Addition>;
  readonly #ids = new Map<string, number>();
  readonly #statements = new Map<string, Database.Statement<unknown[], Row>>();

  constructor(db: Database.Database, groupMilliseconds: number) {
    this.#db = db;
    const add = db.transaction((additions: readonly Addition[]) => {
      for (const { name, update } of additions) {
        const id = this.#idOf(name);
        if (id === null) throw new Error(`no document ${name}`);
        this.#run('INSERT INTO updates (document, data) VALUES (?, ?)', id, update);
      }
    });
    this.#queue = new CommitQueue(add, groupMilliseconds);
  }

  async load(name: string): Promise<StoredDocument | null> {
    this.#queue.flush();
    return this.#read(name);
  }

  async create(name: string, update: Uint8Array): Promise<boolean> {
    this.#queue.flush();
    return this.#db.transaction(() => {
      if (this.#idOf(name) !== null) return false;
      this.#run('INSERT INTO documents (name) VALUES (?)', name);
      const id = readNumber(this.#get('SELECT id FROM documents WHERE name = ?', name), 'id');
      this.#run('INSERT INTO updates (document, data) VALUES (?, ?)', id, update);
      return true;
    })();
  }

  append(name: string, update: Uint8Array): Promise<void> {
    return this.#queue.add({ name, update });
  }

  async compact(name: string, merge: Merge): Promise<void> {
    this.#queue.flush();
    this.#db.transaction(() => {
      const stored = this.#read(name);
      const id = this.#idOf(name);
      if (stored === null || id === null || stored.sinceSnapshot === 0) return;
      this.#run(
        'INSERT INTO snapshots (document, state) VALUES (?, ?) ON CONFLICT (document) DO UPDATE SET state = excluded.state',
        id,
        merge(stored.updates),
      );
      this.#run('DELETE FROM updates WHERE document = ?', id);
    })();
  }

  async addBand(bandId: string, at: number): Promise<boolean> {
    return this.#run('INSERT OR IGNORE INTO bands (id, created_at) VALUES (?, ?)', bandId, at) > 0;
  }

  async hasBand(bandId: string): Promise<boolean> {
    return this.#get('SELECT 1 FROM bands WHERE id = ?', bandId) !== undefined;
  }

  async addLink(link: LinkRecord, secretHash: Uint8Array): Promise<void> {
    this.#run(
      'INSERT INTO links (id, band, kind, hash, created_at, ended_at) VALUES (?, ?, ?, ?, ?, ?)',
      link.id,
      link.bandId,
      link.kind,
      secretHash,
      link.createdAt,
      link.endedAt,
    );
  }

  async links(bandId: string): Promise<readonly LinkRecord[]> {
    return this.#all('SELECT * FROM links WHERE band = ? ORDER BY created_at, id', bandId).map(linkRow);
  }

  async link(linkId: string): Promise<LinkRecord | null> {
    const row = this.#get('SELECT * FROM links WHERE id = ?', linkId);
    return row === undefined ? null : linkRow(row);
  }

  async linkBySecret(secretHash: Uint8Array): Promise<LinkRecord | null> {
    const row = this.#get('SELECT * FROM links WHERE hash = ?', secretHash);
    return row === undefined ? null : linkRow(row);
  }

  async endLink(bandId: string, linkId: string, at: number): Promise<boolean> {
    const changed = this.#run(
      'UPDATE links SET ended_at = ? WHERE id = ? AND band = ? AND ended_at IS NULL',
      at,
      linkId,
      bandId,
    );
    return changed > 0;
  }

  async close(): Promise<void> {
    if (!this.#db.open) return;
    this.#queue.flush();
    this.#db.close();
  }

  #read(name: string): StoredDocument | null {
    const id = this.#idOf(name);
    if (id === null) return null;
    const snapshot = this.#get('SELECT state FROM snapshots WHERE document = ?', id);
    const updates = this.#all('SELECT data FROM updates WHERE document = ? ORDER BY seq', id);
    return {
      updates: [
        ...(snapshot === undefined ? [] : [readBlob(snapshot, 'state')]),
        ...updates.map((row) => readBlob(row, 'data')),
      ],
      sinceSnapshot: updates.length,
    };
  }

  /** Documents are never removed, so an id once seen stays true. */
  #idOf(name: string): number | null {
    const known = this.#ids.get(name);
    if (known !== undefined) return known;
    const row = this.#get('SELECT id FROM documents WHERE name = ?', name);
    if (row === undefined) return null;
    const id = readNumber(row, 'id');
    // Inside a transaction that may yet fail, a new id is not remembered.
    if (!this.#db.inTransaction) this.#ids.set(name, id);
    return id;
  }

  #statement(sql: string): Database.Statement<unknown[], Row> {
    const known = this.#statements.get(sql);
    if (known) return known;
    const made = this.#db.prepare<unknown[], Row>(sql);
    this.#statements.set(sql, made);
    return made;
  }

  #run(sql: string, ...values: readonly unknown[]): number {
    return this.#statement(sql).run(...values).changes;
  }

  #get(sql: string, ...values: readonly unknown[]): Row | undefined {
    return this.#statement(sql).get(...values);
  }

  #all(sql: string, ...values: readonly unknown[]): Row[] {
    return this.#statement(sql).all(...values);
  }
}
