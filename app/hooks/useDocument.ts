'use client';

import { useEffect, useState, useSyncExternalStore } from 'react';
import type { DocumentStatus, OpenDocument } from '../sync';

const OPENING: DocumentStatus = {
  state: 'keeping',
  loaded: false,
  mayEdit: false,
  onDevice: false,
  unkept: null,
  merged: false,
  problem: null,
};
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
      const begin = () => {
        if (isOver) return;
        document = openDocument(name, { onReplaced: begin });
        setOpen(document);
      };
      begin();
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
    const warn = (event: BeforeUnloadEvent) => {
      if (!open.mayLeave()) event.preventDefault();
    };
    window.addEventListener('beforeunload', warn);
    return () => window.removeEventListener('beforeunload', warn);
  }, [open]);
}
