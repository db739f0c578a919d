import * as decoding from 'lib0/decoding';
import type { Awareness } from 'y-protocols/awareness';
import { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { KEPT, type Refusal, RIGHTS, SYNC_PATH } from '../../lib/protocol';
import { countingSockets, type SocketClass } from './counting';
import { DeviceCopy } from './device';
import { forgetDocument } from './forget';
import { sum, type Unkept } from './ledger';
import { isOfAnother } from './lineage';
import { Observable } from './observable';
import { type Peer, type Whereabouts, watchPeers, watchWhereabouts } from './presence';
import { endsHere, forgetRefused, isFinal, refusalFor } from './refused';

/**
 * `kept`: the server has committed every edit made here. `keeping`: it is being connected to, or has yet to say so.
 * `offline`: no connection; edits made here wait on this device and go when it is back. `not allowed`: the server
 * has refused for good, `problem` says why; what stands in the document can still be read, and leaves the device.
 */
export type DocumentState = 'kept' | 'keeping' | 'offline' | 'not allowed';

export interface DocumentStatus {
  readonly state: DocumentState;
  /** True from the first time that the server's whole document has arrived, or what this device holds stands in for it. */
  readonly loaded: boolean;
  /** Whether the server takes edits from here; while it is away, as it last said. */
  readonly mayEdit: boolean;
  /** Whether this device holds the document, so that edits outlive the page. */
  readonly onDevice: boolean;
  /** Edits made here that the server has not called kept, also those made before this page was opened. */
  readonly unkept: Unkept | null;
  /** True after a time away in which others made edits too, until the next edit here. */
  readonly merged: boolean;
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
  /** Milliseconds since 1970. */
  readonly now?: () => number;
  /**
   * What this device held was another document of the same name, made before the server's. It is gone from the device
   * and was not sent; this one is closed, and can be opened anew.
   */
  readonly onReplaced?: () => void;
}

export interface OpenDocument {
  readonly name: string;
  readonly doc: Y.Doc;
  readonly awareness: Awareness;
  /** The others who have it open. */
  readonly peers: Observable<readonly Peer[]>;
  /** Where they are in it. */
  readonly whereabouts: Observable<readonly Whereabouts[]>;
  readonly status: Observable<DocumentStatus>;
  /** Resolves when the server's document has arrived, or has been refused for good. */
  readonly settled: Promise<DocumentStatus>;
  /** Connects at once where it is waiting to, also after a refusal. */
  connect(): void;
  /** Whether nothing is lost when the page closes now: all edits are kept, or written on this device. */
  mayLeave(): boolean;
  /** Takes leave of the others and closes. The document itself stays readable. */
  destroy(): void;
}

const SYNC = 0;
/** Milliseconds; doubled with each attempt that fails. */
const BASE_WAIT = 100;
/** How long what this device holds waits for the server's newer document, in milliseconds, before it is shown. */
const STAND_IN_AFTER = 1500;

/** Opens a document by its name (see `bandDocument` and `songDocument` of lib/protocol). */
export function openDocument(name: string, options: OpenOptions = {}): OpenDocument {
  const doc = options.doc ?? new Y.Doc();
  const origin = options.origin ?? pageOrigin();
  const longestWait = options.longestWait ?? 15_000;
  const random = options.random ?? Math.random;
  const now = options.now ?? Date.now;

  // What was sent and kept on the socket of the moment. A new socket starts from nothing: its own step 2 carries
  // whatever the server has not got, so nothing has to be remembered from the one before.
  let socket: WebSocket | null = null;
  let sent = 0;
  let kept = 0;
  let rights: boolean | null = null;
  let failed = false;
  let arrived = false;
  let loaded = false;
  let problem: Refusal | null = null;
  let final = false;
  let isOver = false;

  let copy: DeviceCopy | null = null;
  let waited = false;
  /** Edits made here since the last that were kept: before this page, and in it. */
  let before: Unkept | null = null;
  let own: Unkept | null = null;
  /** The last edit has not gone out on any socket. */
  let unsent = false;
  /** It was away with edits that were not kept; whether others had made some too. */
  let wasAway = false;
  let foundNews = false;
  let merged = false;

  // Ahead of the provider, which sends each edit while it is told of it.
  doc.on('update', (_update: Uint8Array, origin: unknown, _doc: Y.Doc, { local }: Y.Transaction) => {
    if (local) {
      own = sum([own, { count: 1, since: now() }]);
      unsent = true;
      merged = false;
      if (own) copy?.note(own);
    } else if (wasAway && origin === provider) foundNews = true;
    tell();
  });
  const sockets = countingSockets(options.sockets ?? WebSocket, (which) => {
    if (which !== socket) return;
    sent += 1;
    unsent = false;
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
    onDevice: false,
    unkept: null,
    merged: false,
    problem: null,
  });

  function tell(): void {
    const state = stateNow();
    if (state === 'kept' && rights === true) settleUnkept();
    // The server's document is newer: what is held here waits for it a moment, where it may be had.
    loaded ||= arrived || (!final && (failed || waited) && (copy?.mayEdit ?? null) !== null);
    const next: DocumentStatus = {
      state,
      loaded,
      mayEdit: (rights ?? copy?.mayEdit) === true && !final,
      onDevice: copy?.works === true,
      unkept: sum([before, own]),
      merged,
      problem,
    };
    if (!isSame(status.getSnapshot(), next)) status.set(next);
  }

  function settleUnkept(): void {
    if (wasAway && foundNews) merged = true;
    wasAway = false;
    if (before === null && own === null) return;
    before = null;
    own = null;
    copy?.kept();
  }

  function stateNow(): DocumentState {
    if (final) return 'not allowed';
    if (!provider.wsconnected) return failed ? 'offline' : 'keeping';
    if (rights === null || !provider.synced) return 'keeping';
    // A listener is not asked for its edits, so it has nothing to be kept unless it made some all the same.
    if (!rights) return sent === 0 ? 'kept' : 'keeping';
    return sent > 0 && kept === sent && !unsent ? 'kept' : 'keeping';
  }

  const takeSync = provider.messageHandlers[SYNC];
  provider.messageHandlers[SYNC] = (answer, message, ...more) => {
    if (isOfAnother(doc, message)) void giveWay();
    else takeSync?.(answer, message, ...more);
  };
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
      wasAway = before !== null || own !== null;
      foundNews = false;
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
      arrived = true;
      failed = false;
      if (rights !== null) void copy?.arrived(rights);
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
    if (final && problem) void leaveDevice(problem);
    // The provider still says 'connected' at this moment; its own 'status' follows.
    queueMicrotask(tell);
  });

  /** What the server will not give again does not stay here either. */
  async function leaveDevice({ code }: Refusal): Promise<void> {
    if (!endsHere(code)) return;
    await copy?.close();
    tell();
    await forgetRefused(name, code);
  }

  async function giveWay(): Promise<void> {
    if (isOver) return;
    destroy();
    await copy?.close();
    await forgetDocument(name);
    options.onReplaced?.();
  }

  const opened = DeviceCopy.open(name, doc, tell).then((held) => {
    if (isOver) return held?.close();
    copy = held;
    before = held?.loaded ?? null;
    provider.connect();
    tell();
  });
  const timer = setTimeout(() => {
    waited = true;
    tell();
  }, STAND_IN_AFTER);

  const connect = (): void => {
    final = false;
    void opened.then(() => {
      if (!isOver) provider.connect();
    });
    tell();
  };
  const online = (): void => {
    if (!final) connect();
  };
  if (typeof window !== 'undefined') window.addEventListener('online', online);

  const settled = new Promise<DocumentStatus>((resolve) => {
    const stop = status.subscribe(() => {
      const said = status.getSnapshot();
      if (!arrived && said.state !== 'not allowed') return;
      stop();
      resolve(said);
    });
  });

  function destroy(): void {
    isOver = true;
    clearTimeout(timer);
    if (typeof window !== 'undefined') window.removeEventListener('online', online);
    provider.destroy();
    provider.awareness.destroy();
    void copy?.close();
  }

  return {
    name,
    doc,
    awareness: provider.awareness,
    peers: watchPeers(provider.awareness),
    whereabouts: watchWhereabouts(provider.awareness),
    status,
    settled,
    connect,
    mayLeave: () => (before === null && own === null) || copy?.isWritten === true,
    destroy,
  };
}

function isSame(one: DocumentStatus, other: DocumentStatus): boolean {
  return (
    one.state === other.state &&
    one.loaded === other.loaded &&
    one.mayEdit === other.mayEdit &&
    one.onDevice === other.onDevice &&
    one.merged === other.merged &&
    one.problem?.code === other.problem?.code &&
    one.unkept?.count === other.unkept?.count &&
    one.unkept?.since === other.unkept?.since
  );
}

function pageOrigin(): string {
  return `${window.location.protocol === 'https:' ? 'wss:' : 'ws:'}//${window.location.host}`;
}
