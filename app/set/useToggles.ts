'use client';

import { useState } from 'react';

export interface Toggles {
  readonly has: (id: string) => boolean;
  readonly any: boolean;
  readonly toggle: (id: string) => void;
}

/** Which of several things are open. */
export function useToggles(): Toggles {
  const [open, setOpen] = useState<ReadonlySet<string>>(new Set());
  return {
    has: (id) => open.has(id),
    any: open.size > 0,
    toggle: (id) =>
      setOpen((before) => {
        const after = new Set(before);
        if (!after.delete(id)) after.add(id);
        return after;
      }),
  };
}
