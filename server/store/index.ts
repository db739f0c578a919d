/**
 * Where documents, bands and links lie: SQLite in one file, in this thread or in one of its own, and the same in memory
 * for tests. It keeps updates as bytes and knows nothing of what is in them.
 */
export {
  backUpStore,
  type InspectedDocument,
  type Inspection,
  inspectStore,
  keptBeside,
  restoreStore,
} from './care';
export { StoreDamaged, StoreInUse, StoreTooNew } from './errors';
export { memoryStore } from './memory';
export { serveStore } from './serve';
export { openSqliteStore, type SqliteOptions } from './sqlite';
export { openWorkerStore, type WorkerStoreOptions } from './worker';
