/**
 * The shared documents while people have them open: one room for each, loaded once, in step over sockets that speak
 * the y-websocket protocol, every edit committed before it is called kept. It knows Yjs and the frames; who may
 * enter it asks of access, where bytes lie it leaves to the store, and what stands in a document is not its affair.
 */
export { type DocumentCare, Rooms } from './rooms';
export { type SyncOptions, SyncServer } from './server';
