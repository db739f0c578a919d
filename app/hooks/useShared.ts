'use client';

import { startTransition, useCallback, useEffect, useMemo, useState, useSyncExternalStore } from 'react';
import type * as Y from 'yjs';
import type { Editor, EditorOptions } from '../../lib/document';
import type { DocumentStatus, OpenDocument } from '../sync';
import { newId } from './newId';
import { type Shown, shownOf } from './shown';
import { useDocument } from './useDocument';

/** How one kind of document is read and edited. */
export interface DocumentWays<R, E extends Editor> {
  readonly read: (doc: Y.Doc) => R;
  readonly watch: (doc: Y.Doc, listener: (reading: R) => void) => () => void;
  readonly edits: (doc: Y.Doc, options: EditorOptions) => E;
}

export interface Shared<R, E extends Editor> {
  /** Null until the document has arrived; then always its newest reading. */
  readonly reading: R | null;
  /** Null while nothing can be written: before the document has arrived, for listeners, for another version. */
  readonly edits: E | null;
  readonly status: DocumentStatus;
  readonly open: OpenDocument | null;
  /** What would be taken back next, in words; null: nothing. */
  readonly nextUndo: string | null;
  readonly nextRedo: string | null;
  /** Resolves when the server has every edit made so far here, or has refused for good. */
  readonly whenKept: () => Promise<void>;
}

const never = () => () => {};
const nothing = () => null;

/**
 * A shared document, live: read after every change, edited on behalf of one person. `load` brings the ways to read and
 * edit it, after the page stands; it must stay the same.
 */
export function useShared<R extends { readonly readOnly: boolean }, E extends Editor>(
  name: string,
  load: () => Promise<DocumentWays<R, E>>,
  by: string | null,
): Shared<R, E> {
  const { open, status } = useDocument(name);
  const [ways, setWays] = useState<DocumentWays<R, E> | null>(null);
  useEffect(() => {
    let isOver = false;
    load().then((loaded) => {
      if (!isOver) setWays(loaded);
    });
    return () => {
      isOver = true;
    };
  }, [load]);
  const doc = status.loaded && ways !== null ? (open?.doc ?? null) : null;

  const shown = useMemo(() => (doc && ways ? shownOf(doc, ways.read, ways.watch) : null), [doc, ways]);
  const reading = useShown(shown);

  // One editor for one person and document: it holds what they can take back.
  const [editor, setEditor] = useState<E | null>(null);
  useEffect(() => {
    if (!doc || !ways) return;
    const made = ways.edits(doc, { by, now: Date.now, makeId: newId });
    setEditor(made);
    return () => {
      setEditor(null);
      made.destroy();
    };
  }, [doc, ways, by]);

  const watchUndo = useMemo(
    () => (editor ? (listener: () => void) => editor.onUndoChange(listener) : never),
    [editor],
  );
  const nextUndo = useSyncExternalStore(watchUndo, () => editor?.nextUndo ?? null, nothing);
  const nextRedo = useSyncExternalStore(watchUndo, () => editor?.nextRedo ?? null, nothing);

  const whenKept = useCallback(
    () =>
      new Promise<void>((resolve) => {
        if (!open) return resolve();
        const isOver = () => ['kept', 'not allowed'].includes(open.status.getSnapshot().state);
        if (isOver()) return resolve();
        const stop = open.status.subscribe(() => {
          if (!isOver()) return;
          stop();
          resolve();
        });
      }),
    [open],
  );

  const edits = status.mayEdit && reading !== null && !reading.readOnly ? editor : null;
  return { reading, edits, status, open, nextUndo, nextRedo, whenKept };
}

/** The newest reading: after an edit of one's own with the next frame; after those of others as soon as no key waits. */
function useShown<R>(shown: Shown<R> | null): R | null {
  const [seen, setSeen] = useState<{ readonly of: Shown<R>; readonly reading: R } | null>(null);
  useEffect(() => {
    if (!shown) return;
    const look = () => setSeen({ of: shown, reading: shown.snapshot() });
    const stop = shown.subscribe((whose) => (whose === 'own' ? look() : startTransition(look)));
    // What came between the first look and this.
    look();
    return stop;
  }, [shown]);
  if (!shown) return null;
  return seen?.of === shown ? seen.reading : shown.snapshot();
}
