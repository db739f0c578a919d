import * as Y from 'yjs';

/** One update that stands for all of them; what was deleted is dropped on the way. */
export function mergeUpdates(updates: readonly Uint8Array[]): Uint8Array {
  const doc = new Y.Doc();
  try {
    for (const update of updates) Y.applyUpdate(doc, update);
    return Y.encodeStateAsUpdate(doc);
  } finally {
    doc.destroy();
  }
}
