/** A class of sockets, as the browser's own. */
export type SocketClass = typeof WebSocket;

const SYNC = 0;
const STEP_2 = 1;
const UPDATE = 2;

/** Whether a frame is one that the server numbers: a sync step 2 or an update. */
export function bearsUpdate(frame: unknown): boolean {
  const bytes = bytesOf(frame);
  return bytes !== null && bytes[0] === SYNC && (bytes[1] === STEP_2 || bytes[1] === UPDATE);
}

function bytesOf(frame: unknown): Uint8Array | null {
  if (frame instanceof Uint8Array) return frame;
  if (frame instanceof ArrayBuffer) return new Uint8Array(frame, 0, Math.min(2, frame.byteLength));
  return null;
}

/** The sockets of `base`, each telling of the update-bearing frames that it sends. */
export function countingSockets(base: SocketClass, sent: (socket: WebSocket) => void): SocketClass {
  return class extends base {
    override send(data: Parameters<WebSocket['send']>[0]): void {
      super.send(data);
      if (bearsUpdate(data)) sent(this);
    }
  };
}
