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
  /** Bytes of a JSON request, and of one that carries a song. */
  request: 64 * 1024,
  songRequest: 8 * 1024 * 1024,
  /** Frames that one socket may send in a second, on the long run, and at once. */
  framesEachSecond: 300,
  framesAtOnce: 3000,
  /** Bytes that wait for a reader that is too slow. */
  unsent: 16 * 1024 * 1024,
  /** Bands in one session. */
  bands: 20,
} as const;
