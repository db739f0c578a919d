import { HocuspocusProvider, HocuspocusProviderWebsocket } from '@hocuspocus/provider';
import * as encoding from 'lib0/encoding';
import { WebSocket } from 'ws';
import { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { RIGHTS, SYNC_PATH, songDocument } from '../../../lib/protocol';
import { socketsWith } from '../../sockets';

/** Where a server is to be found, and by which cookie. */
export interface Door {
  readonly port: number;
  readonly cookie: string | null;
  readonly bandId: string;
}

/** A server that is measured, and how to speak to it. */
export interface Peer {
  readonly name: string;
  readonly script: string;
  url(door: Door, room: number): string;
  /** What a page says first. */
  hello(door: Door, room: number): readonly Uint8Array[];
  /** Whether this frame is the server's document, after which a page may edit. */
  isDocument(frame: Buffer): boolean;
  edit(door: Door, room: number, update: Uint8Array): Uint8Array;
  /** The server's own kind of client, as it comes, for a room that somebody has to witness. */
  witness(door: Door, room: number, doc: Y.Doc): { destroy(): void };
}

const SYNC = 0;
const SYNC_REPLY = 4;
const AUTH = 2;
const STEP_1 = 0;
const STEP_2 = 1;
const UPDATE = 2;

function frame(name: string | null, type: number, step: number, body: Uint8Array): Uint8Array {
  const encoder = encoding.createEncoder();
  if (name !== null) encoding.writeVarString(encoder, name);
  encoding.writeVarUint(encoder, type);
  encoding.writeVarUint(encoder, step);
  encoding.writeVarUint8Array(encoder, body);
  return encoding.toUint8Array(encoder);
}

const EMPTY = new Y.Doc();
const step1 = (name: string | null) => frame(name, SYNC, STEP_1, Y.encodeStateVector(EMPTY));
const step2 = (name: string | null) => frame(name, SYNC, STEP_2, Y.encodeStateAsUpdate(EMPTY));

/** What speaks the y-websocket protocol: ours and the stock server. */
const plain = (path: (door: Door, room: number) => readonly [string, string]) => ({
  url: (door: Door, room: number) => `ws://127.0.0.1:${door.port}${path(door, room).join('/')}`,
  hello: () => [step1(null), step2(null)],
  isDocument: (bytes: Buffer) => bytes[0] === SYNC && bytes[1] === STEP_2,
  edit: (_door: Door, _room: number, update: Uint8Array) => frame(null, SYNC, UPDATE, update),
  witness(door: Door, room: number, doc: Y.Doc) {
    const [base, name] = path(door, room);
    const provider = new WebsocketProvider(`ws://127.0.0.1:${door.port}${base}`, name, doc, {
      WebSocketPolyfill: socketsWith(door.cookie),
      disableBc: true,
    });
    // Messages of our own, which that client would otherwise remark upon.
    for (const type of [100, RIGHTS]) provider.messageHandlers[type] = () => {};
    return {
      destroy() {
        provider.destroy();
        provider.awareness.destroy();
      },
    };
  },
});

const nameOf = (room: number): string => `r${room}`;

export const ours: Peer = {
  name: 'Breathmark',
  script: 'serve-ours',
  ...plain((door, room) => [SYNC_PATH, songDocument(door.bandId, nameOf(room))]),
};

export const stock: Peer = {
  name: '@y/websocket-server 0.1.1',
  script: 'serve-stock',
  ...plain((_door, room) => ['', nameOf(room)]),
};

export const hocuspocus: Peer = {
  name: 'hocuspocus 3.4.4',
  script: 'serve-hocuspocus',
  url: (door) => `ws://127.0.0.1:${door.port}`,
  hello(_door, room) {
    const name = nameOf(room);
    const token = new TextEncoder().encode('-');
    return [frame(name, AUTH, 0, token), step1(name), step2(name)];
  },
  isDocument(bytes) {
    // The name with its length, then the type and the step.
    const at = 1 + (bytes[0] ?? 0);
    return (bytes[at] === SYNC || bytes[at] === SYNC_REPLY) && bytes[at + 1] === STEP_2;
  },
  edit: (_door, room, update) => frame(nameOf(room), SYNC, UPDATE, update),
  witness(door, room, doc) {
    const socket = new HocuspocusProviderWebsocket({
      url: `ws://127.0.0.1:${door.port}`,
      WebSocketPolyfill: WebSocket,
    });
    const provider = new HocuspocusProvider({
      websocketProvider: socket,
      name: nameOf(room),
      document: doc,
      token: '-',
    });
    provider.attach();
    return {
      destroy() {
        provider.destroy();
        socket.destroy();
      },
    };
  },
};
