import type * as Y from 'yjs';
import type { Answer } from '../song';
import { mapOf } from './layout';

/** Those of a song's proposals that were settled, at the same time as the answer that stands at their place. */
export function settledAtOnce(doc: Y.Doc, proposals: readonly Answer[]): readonly Answer[] {
  const settled = mapOf(doc, 'settled');
  return proposals.filter(({ id }) => settled.has(id));
}
