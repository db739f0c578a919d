import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';
import * as Y from 'yjs';
import { KEPT, LIMITS, RIGHTS } from '../../lib/protocol';

/**
 * The frames of the y-websocket protocol and the two of our own, read strictly: a frame either is one of these to
 * its last byte or it is malformed.
 */
export type Frame =
  /** What the other side has; it is answered with what it lacks. */
  | { readonly kind: 'step 1'; readonly stateVector: Uint8Array }
  /** A sync step 2 or an update: the frames that are numbered. A step 2 may hold much that is known here. */
  | {
      readonly kind: 'edits';
      readonly update: Uint8Array;
      readonly alone: boolean;
      /** The whole frame as it came. */
      readonly message: Uint8Array;
    }
  | { readonly kind: 'presence'; readonly entries: readonly PresenceEntry[] }
  | { readonly kind: 'ask presence' };

/** One client's presence: a JSON object, or null for one that has left. A later clock is newer. */
export interface PresenceEntry {
  readonly clientId: number;
  readonly clock: number;
  readonly state: Readonly<Record<string, unknown>> | null;
}

const SYNC = 0;
const PRESENCE = 1;
const ASK_PRESENCE = 3;
const STEP_1 = 0;
const STEP_2 = 1;
const UPDATE = 2;

/** Null for anything malformed. An update that is given back can be applied: it has been decoded once. */
export function readFrame(bytes: Uint8Array): Frame | null {
  try {
    const decoder = decoding.createDecoder(bytes);
    const frame = readBody(decoder, bytes);
    return decoding.hasContent(decoder) ? null : frame;
  } catch {
    return null;
  }
}

function readBody(decoder: decoding.Decoder, message: Uint8Array): Frame | null {
  switch (decoding.readVarUint(decoder)) {
    case SYNC:
      return readSync(decoder, message);
    case PRESENCE: {
      const body = decoding.readVarUint8Array(decoder);
      return { kind: 'presence', entries: readPresence(body) };
    }
    case ASK_PRESENCE:
      return { kind: 'ask presence' };
    default:
      return null;
  }
}

function readSync(decoder: decoding.Decoder, message: Uint8Array): Frame | null {
  const step = decoding.readVarUint(decoder);
  const body = decoding.readVarUint8Array(decoder);
  if (step === STEP_1) {
    Y.decodeStateVector(body);
    return { kind: 'step 1', stateVector: body };
  }
  if (step !== STEP_2 && step !== UPDATE) return null;
  Y.decodeUpdate(body);
  return { kind: 'edits', update: body, alone: step === STEP_2, message };
}

function readPresence(body: Uint8Array): PresenceEntry[] {
  const decoder = decoding.createDecoder(body);
  const count = decoding.readVarUint(decoder);
  if (count > LIMITS.presences) throw new Error('too many presences');
  const entries: PresenceEntry[] = [];
  for (let i = 0; i < count; i++) {
    const clientId = decoding.readVarUint(decoder);
    const clock = decoding.readVarUint(decoder);
    const text = decoding.readVarString(decoder);
    if (text.length > LIMITS.presence) throw new Error('presence too large');
    entries.push({ clientId, clock, state: asState(JSON.parse(text)) });
  }
  return entries;
}

function asState(value: unknown): Readonly<Record<string, unknown>> | null {
  if (value === null) return null;
  if (typeof value !== 'object' || Array.isArray(value)) throw new Error('presence is an object or null');
  return Object.fromEntries(Object.entries(value));
}

function frame(write: (encoder: encoding.Encoder) => void): Uint8Array {
  const encoder = encoding.createEncoder();
  write(encoder);
  return encoding.toUint8Array(encoder);
}

/** Asks what the other side has. */
export const step1Frame = (doc: Y.Doc): Uint8Array => syncFrame(STEP_1, Y.encodeStateVector(doc));

/** What a reader with that state vector lacks. */
export const step2Frame = (doc: Y.Doc, stateVector: Uint8Array): Uint8Array =>
  syncFrame(STEP_2, Y.encodeStateAsUpdate(doc, stateVector));

export const updateFrame = (update: Uint8Array): Uint8Array => syncFrame(UPDATE, update);

function syncFrame(step: number, body: Uint8Array): Uint8Array {
  return frame((encoder) => {
    encoding.writeVarUint(encoder, SYNC);
    encoding.writeVarUint(encoder, step);
    encoding.writeVarUint8Array(encoder, body);
  });
}

export function presenceFrame(entries: readonly PresenceEntry[]): Uint8Array {
  return frame((encoder) => {
    encoding.writeVarUint(encoder, PRESENCE);
    encoding.writeVarUint8Array(
      encoder,
      frame((body) => {
        encoding.writeVarUint(body, entries.length);
        for (const { clientId, clock, state } of entries) {
          encoding.writeVarUint(body, clientId);
          encoding.writeVarUint(body, clock);
          encoding.writeVarString(body, JSON.stringify(state));
        }
      }),
    );
  });
}

export const keptFrame = (count: number): Uint8Array => ownFrame(KEPT, count);
export const rightsFrame = (edits: boolean): Uint8Array => ownFrame(RIGHTS, edits ? 1 : 0);

function ownFrame(type: number, value: number): Uint8Array {
  return frame((encoder) => {
    encoding.writeVarUint(encoder, type);
    encoding.writeVarUint(encoder, value);
  });
}
