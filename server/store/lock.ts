import Database from 'better-sqlite3';
import { named } from './errors';

/**
 * Holds a store for one process until it is let go or the process ends, however it ends. The lock lies in a file of its
 * own, so that others can still read the store beside the one who holds it, as the backup does. Throws StoreInUse.
 */
export function holdStore(file: string): () => void {
  const lock = new Database(`${file}.lock`, { timeout: 1000 });
  try {
    lock.pragma('journal_mode = MEMORY');
    lock.exec('BEGIN EXCLUSIVE');
  } catch (error) {
    lock.close();
    throw named(error, file);
  }
  return () => {
    if (lock.open) lock.close();
  };
}
