/** Documents are synced at `/sync/NAME`. */
export const SYNC_PATH = '/sync';

/**
 * Our own message types beside those of the y-websocket protocol (0 sync, 1 awareness, 2 auth, 3 ask awareness).
 * A page that does not know them may pass over them.
 */

/**
 * `KEPT, varUint n`: the first n update-bearing frames (sync step 2 or update) that the server took on this socket
 * are committed. Also sent again from time to time as a sign of life.
 */
export const KEPT = 100;

/** `RIGHTS, varUint r`: what this socket's person may do; 0 reads, 1 edits. Sent once, when the document is open. */
export const RIGHTS = 101;

export const LIMITS = {
  /** Bytes of one frame on the socket. */
  frame: 4 * 1024 * 1024,
  /** Bytes of one person's presence. */
  presence: 4096,
  /** People whose presence one frame may tell of. */
  presences: 2000,
  /** Bytes of one document. */
  document: 16 * 1024 * 1024,
  /** Bytes of a JSON request, and of one that carries a song. */
  request: 64 * 1024,
  songRequest: 8 * 1024 * 1024,
  /** Bytes of a band file that is sent to be made a band. */
  bandFile: 32 * 1024 * 1024,
  /** Frames that one socket may send in a second, on the long run, and at once. */
  framesEachSecond: 300,
  framesAtOnce: 3000,
  /** Bytes that may wait for a slow reader; past them it is sent the whole difference when it has taken these. */
  unsent: 1024 * 1024,
  /** Sockets that may be open at once: from one address, for one band, in all. */
  socketsFromAddress: 300,
  socketsForBand: 400,
  sockets: 10_000,
  /** Songs of one band. */
  songs: 1000,
  /** Links of one band that stand at once. */
  links: 200,
  /** Bands in one session. */
  bands: 20,
} as const;
