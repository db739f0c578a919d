'use client';

import { type RefObject, useEffect, useRef } from 'react';

/** For a button that gives way to what it opens: once that is closed, the focus is on the button again. */
export function useOpener(isOpen: boolean): RefObject<HTMLButtonElement | null> {
  const opener = useRef<HTMLButtonElement>(null);
  const wasOpen = useRef(false);
  useEffect(() => {
    if (wasOpen.current && !isOpen) opener.current?.focus();
    wasOpen.current = isOpen;
  }, [isOpen]);
  return opener;
}
