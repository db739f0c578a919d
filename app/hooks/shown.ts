import type * as Y from 'yjs';
import { afterPaint } from './afterPaint';

/** What a page shows of a document, for `useSyncExternalStore`. */
export interface Shown<R> {
  readonly subscribe: (listener: () => void) => () => void;
  readonly snapshot: () => R;
}

/**
 * A document as a page shows it: one's own edits at once; those of others together, once the frame is drawn that is due. However many come
 * in, they are worked through once for a frame, and no key waits behind them.
 */
export function shownOf<R>(
  doc: Y.Doc,
  read: (doc: Y.Doc) => R,
  watch: (doc: Y.Doc, listener: (reading: R) => void) => () => void,
): Shown<R> {
  let shown = read(doc);
  return {
    snapshot: () => shown,
    subscribe: (listener) => {
      let isOwn = true;
      let waiting: (() => void) | null = null;
      const show = () => {
        waiting?.();
        waiting = null;
        const now = read(doc);
        if (now === shown) return;
        shown = now;
        listener();
      };
      const whose = (transaction: Y.Transaction) => {
        isOwn = transaction.local;
      };
      // Before what watches, so that it is known whose change it hears of.
      doc.on('afterTransaction', whose);
      const stop = watch(doc, () => {
        if (isOwn) show();
        else waiting ??= afterPaint(show);
      });
      shown = read(doc);
      return () => {
        doc.off('afterTransaction', whose);
        stop();
        waiting?.();
      };
    },
  };
}
