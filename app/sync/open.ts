import * as decoding from 'lib0/decoding';
import type { Awareness } from 'y-protocols/awareness';
import { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { byCloseCode, KEPT, type Refusal, RIGHTS, SYNC_PATH, whyNot } from '../../lib/protocol';
import { countingSockets, type SocketClass } from './counting';
import { Observable } from './observable';

/**
 * `kept`: the server has committed every edit made here. `keeping`: it is being connected to, or has yet to say so.
 * `offline`: no connection; edits made here wait in the document and go when it is back. `not allowed`: the server
 * has refused for good, `problem` says why; what stands in the document can still be read.
 */
export type DocumentState = 'kept' | 'keeping' | 'offline' | 'not allowed';

export interface DocumentStatus {
  readonly state: DocumentState;
  /** True from the first time that the server's whole document has arrived. */
  readonly loaded: boolean;
  /** Whether the server takes edits from here; false until it has said so. */
  readonly mayEdit: boolean;
  /** The server's last refusal; null while all is well. */
  readonly problem: Refusal | null;
}

export interface OpenOptions {
  /** `ws://host` or `wss://host`; by default the page's own. */
  readonly origin?: string;
  /** The document to fill; by default a new one. */
  readonly doc?: Y.Doc;
  /** For Node; by default the browser's. */
  readonly sockets?: SocketClass;
  /** Longest wait before connecting again, in milliseconds. */
  readonly longestWait?: number;
  /** Spreads out the waits; numbers in [0, 1). */
  readonly random?: () => number;
}

export interface OpenDocument {
  readonly name: string;
  readonly doc: Y.Doc;
  readonly awareness: Awareness;
  readonly status: Observable<DocumentStatus>;
  /** Resolves when the document has arrived, or has been refused for good. */
  readonly settled: Promise<DocumentStatus>;
  /** Connects at once where it is waiting to, also after a refusal. */
  connect(): void;
  /** Takes leave of the others and closes. The document itself stays readable. */
  destroy(): void;
}

/** Milliseconds; doubled with each attempt that fails. */
const BASE_WAIT = 100;
/** What the socket's own layer says of a frame beyond its limit. */
const TOO_LARGE_FOR_SOCKET = 1009;

/** Opens a document by its name (see `bandDocument` and `songDocument` of lib/protocol). */
export function openDocument(name: string, options: OpenOptions = {}): OpenDocument {
  const doc = options.doc ?? new Y.Doc();
  const origin = options.origin ?? pageOrigin();
  const longestWait = options.longestWait ?? 15_000;
  const random = options.random ?? Math.random;

  // What was sent and kept on the socket of the moment. A new socket starts from nothing: its own step 2 carries
  // whatever the server has not got, so nothing has to be remembered from the one before.
  let socket: WebSocket | null = null;
  let sent = 0;
  let kept = 0;
  let rights: boolean | null = null;
  let failed = false;
  let loaded = false;
  let problem: Refusal | null = null;
  let final = false;

  const sockets = countingSockets(options.sockets ?? WebSocket, (which) => {
    if (which !== socket) return;
    sent += 1;
    tell();
  });
  const provider = new WebsocketProvider(`${origin}${SYNC_PATH}`, name, doc, {
    connect: false,
    disableBc: true,
    WebSocketPolyfill: sockets,
    maxBackoffTime: longestWait,
    shouldReconnect: (event) => !isFinal(event.code),
  });
  const status = new Observable<DocumentStatus>({
    state: 'keeping',
    loaded: false,
    mayEdit: false,
    problem: null,
  });

  function tell(): void {
    const state = stateNow();
    const mayEdit = rights === true && !final;
    const now = status.getSnapshot();
    if (
      now.state === state &&
      now.loaded === loaded &&
      now.mayEdit === mayEdit &&
      now.problem?.code === problem?.code
    )
      return;
    status.set({ state, loaded, mayEdit, problem });
  }

  function stateNow(): DocumentState {
    if (final) return 'not allowed';
    if (!provider.wsconnected) return failed ? 'offline' : 'keeping';
    if (rights === null || !provider.synced) return 'keeping';
    // A listener is not asked for its edits, so it has nothing to be kept unless it made some all the same.
    if (!rights) return sent === 0 ? 'kept' : 'keeping';
    return sent > 0 && kept === sent ? 'kept' : 'keeping';
  }

  provider.messageHandlers[KEPT] = (_answer, message) => {
    kept = decoding.readVarUint(message);
    tell();
  };
  provider.messageHandlers[RIGHTS] = (_answer, message) => {
    rights = decoding.readVarUint(message) === 1;
    problem = null;
    tell();
  };
  provider.on('status', ({ status: connection }) => {
    if (connection === 'connected') {
      socket = provider.ws;
      // A clock one further, so that those who saw this page leave see it come back.
      const presence = provider.awareness.getLocalState();
      if (presence !== null) provider.awareness.setLocalState(presence);
    } else {
      socket = null;
      sent = 0;
      kept = 0;
      rights = null;
    }
    tell();
  });
  provider.on('sync', (isSynced) => {
    if (isSynced) {
      loaded = true;
      failed = false;
    }
    tell();
  });
  provider.on('connection-close', (event) => {
    failed = true;
    socket = null;
    // Waits anywhere between nothing and the doubled step, so that a whole band does not come back at one moment.
    const step = Math.min(longestWait, BASE_WAIT * 2 ** (provider.wsUnsuccessfulReconnects + 1));
    provider.maxBackoffTime = random() * step;
    if (event) problem = refusalFor(event.code, name) ?? problem;
    final = event !== null && isFinal(event.code);
    // The provider still says 'connected' at this moment; its own 'status' follows.
    queueMicrotask(tell);
  });

  const connect = (): void => {
    final = false;
    provider.connect();
    tell();
  };
  const online = (): void => {
    if (!final) connect();
  };
  if (typeof window !== 'undefined') window.addEventListener('online', online);

  const settled = new Promise<DocumentStatus>((resolve) => {
    const stop = status.subscribe(() => {
      const now = status.getSnapshot();
      if (!now.loaded && now.state !== 'not allowed') return;
      stop();
      resolve(now);
    });
  });

  provider.connect();
  return {
    name,
    doc,
    awareness: provider.awareness,
    status,
    settled,
    connect,
    destroy() {
      if (typeof window !== 'undefined') window.removeEventListener('online', online);
      provider.destroy();
      provider.awareness.destroy();
    },
  };
}

function isFinal(code: number): boolean {
  return (code >= 4400 && code < 4500) || code === TOO_LARGE_FOR_SOCKET;
}

function refusalFor(code: number, where: string): Refusal | null {
  return code === TOO_LARGE_FOR_SOCKET ? whyNot('too large', where) : byCloseCode(code, where);
}

function pageOrigin(): string {
  return `${window.location.protocol === 'https:' ? 'wss:' : 'ws:'}//${window.location.host}`;
}
