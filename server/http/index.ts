/**
 * The server's plain HTTP side: the JSON answers and files under /api, the first data of pages, the headers that every answer
 * carries, and the look at where a request comes from. Pages themselves are drawn by Next; sockets are another room's.
 */
export { Api } from './api';
export { BandFiles } from './band-files';
export { DEMO_BAND_ID, type Demo, seedDemo } from './demo';
export { allowPage, setHeaders } from './headers';
export { House } from './house';
export { type Origins, originsBehind } from './origin';
export { PageGate } from './pages';
export { Printer } from './printer';
export { type ReadLimits, SongReader } from './read-song';
export type { ThreadLimits } from './thread-queue';
