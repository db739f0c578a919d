import { WebSocket as NodeWebSocket } from 'ws';

/** Node's sockets with a cookie, in the place of a browser's own. */
export function socketsWith(cookie: string | null): typeof WebSocket {
  class WithCookie extends NodeWebSocket {
    constructor(url: string | URL, protocols?: string | string[]) {
      super(url, protocols, { headers: cookie === null ? {} : { Cookie: cookie } });
    }
  }
  // The two classes differ in types only where nothing here goes.
  return WithCookie as unknown as typeof WebSocket;
}
