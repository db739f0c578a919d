'use client';

import { useCallback, useEffect, useRef, useState } from 'react';
import type { Tap } from '../../lib/taps';

const KEYS = new Set([' ', 'Enter']);

/** What is held now, and how to begin and end it: times are those of the events, in milliseconds. */
export interface Taps {
  readonly isHeld: boolean;
  readonly down: (millis: number) => void;
  readonly up: (millis: number) => void;
}

/** True where a key presses something else than the pad. */
function pressesElsewhere(target: EventTarget | null): boolean {
  return target instanceof HTMLElement && target.closest('button, a, input, select') !== null
    ? target.closest('[data-pad]') === null
    : false;
}

/**
 * Taps by space, Enter or touch while `active`: a tap is told when it begins (still open) and again when it ends. Times come from the
 * events, so a busy page does not shift them.
 */
export function useTaps(active: boolean, onDown: () => void, onTap: (tap: Tap) => void): Taps {
  const since = useRef<number | null>(null);
  const [isHeld, setHeld] = useState(false);
  const told = useRef({ onDown, onTap });
  useEffect(() => {
    told.current = { onDown, onTap };
  });
  const down = useCallback((millis: number) => {
    if (since.current !== null) return;
    since.current = millis;
    setHeld(true);
    told.current.onDown();
  }, []);
  const up = useCallback((millis: number) => {
    const from = since.current;
    if (from === null) return;
    since.current = null;
    setHeld(false);
    told.current.onTap({ downSeconds: from / 1000, upSeconds: Math.max(from + 1, millis) / 1000 });
  }, []);
  useEffect(() => {
    if (!active) return;
    const onKeyDown = (event: KeyboardEvent) => {
      if (!KEYS.has(event.key) || event.ctrlKey || event.metaKey || event.altKey) return;
      if (pressesElsewhere(event.target)) return;
      event.preventDefault();
      event.stopPropagation();
      if (!event.repeat) down(event.timeStamp);
    };
    const onKeyUp = (event: KeyboardEvent) => {
      if (!KEYS.has(event.key) || pressesElsewhere(event.target)) return;
      event.preventDefault();
      up(event.timeStamp);
    };
    // Where the page loses the keys, nobody hears them let go.
    const onBlur = (event: Event) => up(event.timeStamp);
    window.addEventListener('keydown', onKeyDown, true);
    window.addEventListener('keyup', onKeyUp, true);
    window.addEventListener('blur', onBlur);
    return () => {
      window.removeEventListener('keydown', onKeyDown, true);
      window.removeEventListener('keyup', onKeyUp, true);
      window.removeEventListener('blur', onBlur);
      since.current = null;
      setHeld(false);
    };
  }, [active, down, up]);
  return { isHeld, down, up };
}
