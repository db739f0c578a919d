/**
 * Where documents, bands and links lie: SQLite in one file, and the same in memory for tests. It keeps updates as
 * bytes and knows nothing of what is in them.
 */
export { memoryStore } from './memory';
export { openSqliteStore, StoreInUse, StoreTooNew } from './sqlite';
