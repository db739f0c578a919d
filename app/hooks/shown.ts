import type * as Y from 'yjs';
import { afterPaint } from './afterPaint';

/** Whether what is new was done by the person at this page, and so waited for, or only by others. */
export type Whose = 'own' | 'others';

/** What a page shows of a document. */
export interface Shown<R> {
  /** Calls back after each change of what is shown; returns the way to stop. */
  readonly subscribe: (listener: (whose: Whose) => void) => () => void;
  /** The same object until something changes. */
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
      const show = (what: Whose) => {
        waiting?.();
        waiting = null;
        const now = read(doc);
        if (now === shown) return;
        shown = now;
        listener(what);
      };
      const whose = (transaction: Y.Transaction) => {
        isOwn = transaction.local;
      };
      // Before what watches, so that it is known whose change it hears of.
      doc.on('afterTransaction', whose);
      const stop = watch(doc, () => {
        if (isOwn) show('own');
        else waiting ??= afterPaint(() => show('others'));
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
