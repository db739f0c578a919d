'use client';

import { useEffect, useState, useSyncExternalStore } from 'react';
import type { DocumentStatus, OpenDocument } from '../sync';

const OPENING: DocumentStatus = { state: 'keeping', loaded: false, mayEdit: false, problem: null };
const never = () => () => {};
const opening = () => OPENING;

/** Opens a shared document while the component stands. `open` is null on the server and for a moment after. */
export function useDocument(name: string): {
  readonly open: OpenDocument | null;
  readonly status: DocumentStatus;
} {
  const [open, setOpen] = useState<OpenDocument | null>(null);
  useEffect(() => {
    let isOver = false;
    let document: OpenDocument | null = null;
    // The shared document and its wire load after the page stands: its words do not wait for them.
    import('../sync').then(({ openDocument }) => {
      if (isOver) return;
      document = openDocument(name);
      setOpen(document);
    });
    return () => {
      isOver = true;
      setOpen(null);
      document?.destroy();
    };
  }, [name]);
  const status = useSyncExternalStore(
    open?.status.subscribe ?? never,
    open?.status.getSnapshot ?? opening,
    opening,
  );
  useLeaveWarning(open);
  return { open, status };
}

/** While edits exist on this page only, the browser asks before it is closed. */
function useLeaveWarning(open: OpenDocument | null): void {
  useEffect(() => {
    if (!open) return;
    let unkept = false;
    const onUpdate = (
      _update: Uint8Array,
      _origin: unknown,
      _doc: unknown,
      transaction: { local: boolean },
    ) => {
      if (transaction.local) unkept = true;
    };
    const onStatus = () => {
      if (open.status.getSnapshot().state === 'kept') unkept = false;
    };
    const warn = (event: BeforeUnloadEvent) => {
      if (unkept) event.preventDefault();
    };
    open.doc.on('update', onUpdate);
    const stop = open.status.subscribe(onStatus);
    window.addEventListener('beforeunload', warn);
    return () => {
      open.doc.off('update', onUpdate);
      stop();
      window.removeEventListener('beforeunload', warn);
    };
  }, [open]);
}
