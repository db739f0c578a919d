import * as decoding from 'lib0/decoding';
import * as Y from 'yjs';

const STEP_1 = 0;

/**
 * Whether the server asks for the edits of a document that has no writer in common with this one. Both begin with the
 * writer who made the document, so two of the same name are then two documents, and must not flow into each other.
 */
export function isOfAnother(doc: Y.Doc, message: decoding.Decoder): boolean {
  const at = message.pos;
  const isStep1 = decoding.readVarUint(message) === STEP_1;
  const theirs = isStep1 ? Y.decodeStateVector(decoding.readVarUint8Array(message)) : new Map();
  message.pos = at;
  const mine = doc.store.clients;
  return mine.size > 0 && theirs.size > 0 && [...theirs.keys()].every((writer) => !mine.has(writer));
}
