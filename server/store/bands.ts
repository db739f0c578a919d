import type Database from 'better-sqlite3';
import { bandDocument, songDocument } from '../../lib/protocol';
import type { LinkRecord } from '../ports';
import { linkRow, type Statements } from './rows';

/** The bands and links in a store's file. Every call is done, and on the disk, when it returns. */
export class Bands {
  readonly #db: Database.Database;
  readonly #sql: Statements;

  constructor(db: Database.Database, sql: Statements) {
    this.#db = db;
    this.#sql = sql;
  }

  addBand(bandId: string, at: number): boolean {
    return this.#sql.run('INSERT OR IGNORE INTO bands (id, created_at) VALUES (?, ?)', bandId, at) > 0;
  }

  hasBand(bandId: string): boolean {
    return this.#sql.get('SELECT 1 FROM bands WHERE id = ?', bandId) !== undefined;
  }

  deleteBand(bandId: string): void {
    this.#db
      .transaction(() => {
        // Ids hold none of the signs that GLOB takes for more than themselves.
        const mine = 'name = ? OR name GLOB ?';
        const names = [bandDocument(bandId), songDocument(bandId, '*')] as const;
        for (const table of ['updates', 'snapshots', 'before', 'damaged'])
          this.#sql.run(
            `DELETE FROM ${table} WHERE document IN (SELECT id FROM documents WHERE ${mine})`,
            ...names,
          );
        this.#sql.run(`DELETE FROM documents WHERE ${mine}`, ...names);
        this.#sql.run('DELETE FROM links WHERE band = ?', bandId);
        this.#sql.run('DELETE FROM bands WHERE id = ?', bandId);
      })
      .immediate();
    // The write-ahead log still holds what was written before.
    this.#db.pragma('wal_checkpoint(TRUNCATE)');
  }

  addLink(link: LinkRecord, secretHash: Uint8Array): void {
    this.#sql.run(
      'INSERT INTO links (id, band, kind, hash, created_at, ended_at, own) VALUES (?, ?, ?, ?, ?, ?, ?)',
      link.id,
      link.bandId,
      link.kind,
      secretHash,
      link.createdAt,
      link.endedAt,
      link.own ? 1 : 0,
    );
  }

  links(bandId: string): readonly LinkRecord[] {
    return this.#sql.all('SELECT * FROM links WHERE band = ? ORDER BY created_at, id', bandId).map(linkRow);
  }

  link(linkId: string): LinkRecord | null {
    const row = this.#sql.get('SELECT * FROM links WHERE id = ?', linkId);
    return row === undefined ? null : linkRow(row);
  }

  linkBySecret(secretHash: Uint8Array): LinkRecord | null {
    const row = this.#sql.get('SELECT * FROM links WHERE hash = ?', secretHash);
    return row === undefined ? null : linkRow(row);
  }

  endLink(bandId: string, linkId: string, at: number): boolean {
    const changed = this.#sql.run(
      'UPDATE links SET ended_at = ? WHERE id = ? AND band = ? AND ended_at IS NULL',
      at,
      linkId,
      bandId,
    );
    return changed > 0;
  }
}
