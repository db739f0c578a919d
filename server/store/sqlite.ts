import Database from 'better-sqlite3';
import { type Clock, type Merge, type Store, type StoreEvents, systemClock } from '../ports';
import { Bands } from './bands';
import { type Desk, queued } from './desk';
import { Documents } from './documents';
import { named } from './errors';
import { holdStore } from './lock';
import { Statements } from './rows';
import { migrateTables, type Step } from './tables';

export interface SqliteOptions {
  /** Makes one update of many, for compaction; without it updates stay as they are. */
  readonly merge?: Merge;
  readonly events?: StoreEvents;
  readonly clock?: Clock;
  /** How long edits are gathered before one commit for all of them. */
  readonly gatherMilliseconds?: number;
  /** The steps of the tables, where they are not this program's own. */
  readonly steps?: readonly Step[];
}

/**
 * One SQLite file, in this thread. Write-ahead log with synchronous=FULL: each commit is on the disk before it is
 * answered for, so a power cut cannot take what was called kept (NORMAL could lose the last commits); gathering edits
 * for a few milliseconds keeps the price low. The store is held for this process alone: two servers on one file would
 * each hold rooms of their own. Throws StoreInUse, StoreTooNew, StoreDamaged.
 */
export function openSqliteStore(file: string, options: SqliteOptions = {}): Store {
  return queued(openDesk(file, options), options.gatherMilliseconds);
}

/** Opens the file itself, without holding it: also for those who only read beside the one who holds it. */
export function openFile(file: string, options: Database.Options = {}): Database.Database {
  const db = new Database(file, { timeout: 5000, ...options });
  try {
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    // What is deleted is overwritten, so that a band that was deleted cannot be read from the file.
    db.pragma('secure_delete = ON');
    return db;
  } catch (error) {
    db.close();
    throw named(error, file);
  }
}

/** A store's file without its queue. */
export function openDesk(file: string, options: SqliteOptions): Desk {
  const letGo = holdStore(file);
  let db: Database.Database | null = null;
  try {
    db = openFile(file);
    migrateTables(db, options.steps);
    return deskOf(db, letGo, options);
  } catch (error) {
    db?.close();
    letGo();
    throw named(error, file);
  }
}

function deskOf(db: Database.Database, letGo: () => void, options: SqliteOptions): Desk {
  const { merge = null, events = {}, clock = systemClock } = options;
  const sql = new Statements(db);
  const documents = new Documents(db, sql, { merge, clock, events });
  const bands = new Bands(db, sql);
  /** An answer or a rejection, never a throw; failures by our names. */
  const told = async <T>(call: () => T): Promise<T> => {
    try {
      return call();
    } catch (error) {
      throw named(error, db.name);
    }
  };
  return {
    load: (name) => told(() => documents.load(name)),
    create: (name, update) => told(() => documents.create(name, update)),
    appendAll: (additions) => told(() => documents.appendAll(additions)),
    compact: (name) => told(() => documents.compact(name)),
    addBand: (bandId, at) => told(() => bands.addBand(bandId, at)),
    hasBand: (bandId) => told(() => bands.hasBand(bandId)),
    deleteBand: (bandId) =>
      told(() => {
        bands.deleteBand(bandId);
        documents.forget(bandId);
      }),
    addLink: (link, secretHash) => told(() => bands.addLink(link, secretHash)),
    links: (bandId) => told(() => bands.links(bandId)),
    link: (linkId) => told(() => bands.link(linkId)),
    linkBySecret: (secretHash) => told(() => bands.linkBySecret(secretHash)),
    endLink: (bandId, linkId, at) => told(() => bands.endLink(bandId, linkId, at)),
    probe: () =>
      told(() => {
        // Writes a page and syncs it, as an edit would.
        db.transaction(() =>
          db.pragma(`user_version = ${Number(db.pragma('user_version', { simple: true }))}`),
        ).immediate();
      }),
    close: () =>
      told(() => {
        if (db.open) db.close();
        letGo();
      }),
  };
}
