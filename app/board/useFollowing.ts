'use client';

import { startTransition, useCallback, useEffect, useRef } from 'react';
import { flushSync } from 'react-dom';
import { afterPaint } from '../hooks/afterPaint';

/** Shows what was opened a moment after the key that opened it. */
export interface Following {
  /** Does it once the key's own frame is drawn, or with the next key. */
  readonly follow: (id: string, show: () => void) => void;
  /** What is about to be shown; null: nothing. */
  readonly ahead: () => string | null;
  /** Leaves it. */
  readonly drop: () => void;
}

/** Keys that mean where one is, not what is about to stand there. */
const NOT_OF_IT: ReadonlySet<string> = new Set(['ArrowUp', 'ArrowDown', 'Escape']);

/**
 * Who opens a space, or goes from one to the next, sees that at once, and what stands in it as soon as it is drawn; a step further, or
 * the way out, does not wait for it. Any other key means what is about to stand there, so it is shown first.
 *
 * @param shownId what is shown now; null: nothing
 */
export function useFollowing(shownId: string | null): Following {
  const due = useRef<{ readonly id: string; readonly show: () => void; readonly stop: () => void } | null>(
    null,
  );
  const drop = useCallback(() => {
    due.current?.stop();
    due.current = null;
  }, []);
  useEffect(() => {
    if (due.current?.id === shownId) due.current = null;
  }, [shownId]);
  useEffect(() => {
    const onKey = ({ key }: KeyboardEvent) => {
      if (due.current === null || NOT_OF_IT.has(key)) return;
      const { show } = due.current;
      drop();
      flushSync(show);
    };
    // Before the key is looked at by who answers it.
    window.addEventListener('keydown', onKey, true);
    return () => {
      window.removeEventListener('keydown', onKey, true);
      drop();
    };
  }, [drop]);
  const follow = useCallback(
    (id: string, show: () => void) => {
      drop();
      due.current = { id, show, stop: afterPaint(() => startTransition(show)) };
    },
    [drop],
  );
  const ahead = useCallback(() => due.current?.id ?? null, []);
  return { follow, ahead, drop };
}
