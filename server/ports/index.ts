/**
 * The interfaces between the rooms of the server: the store, the clock, and what access says of a session.
 * Each implementation lives in a room of its own and is wired in main.ts.
 */
export type { Access, Entered, Session, SessionEvents } from './access';
export { type Clock, type Secrets, systemClock } from './clock';
export {
  type BandStore,
  type Damage,
  type DocumentStore,
  type LinkRecord,
  type Merge,
  NoRoom,
  type Store,
  type StoredDocument,
  type StoreEvents,
} from './store';
export { startThread } from './thread';
