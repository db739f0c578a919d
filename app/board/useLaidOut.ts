'use client';

import { type RefObject, useEffect } from 'react';

/** What is to be laid out next: first the lines of a pass as a whole, which costs little, then each of them. */
const NEXT = '.lines:not([data-laid]), .lines[data-laid] > .line:not([data-laid])';
/** One more is begun only while so much of a rest is left, in milliseconds. */
const ROOM = 6;

/**
 * Lays out what is out of sight, line by line, whenever the page rests: who scrolls through a song then finds it there, instead of
 * having each frame wait for what comes near. A browser that does not say when it rests lays out what comes near.
 *
 * @param drawn whatever changes when lines may have come
 * @param isReady whether the page has all that it shows; until then it does not rest
 */
export function useLaidOut(root: RefObject<HTMLElement | null>, drawn: unknown, isReady: boolean): void {
  // biome-ignore lint/correctness/useExhaustiveDependencies: lines come and go with what is drawn
  useEffect(() => {
    if (!isReady || !('requestIdleCallback' in window)) return;
    let frame = 0;
    let rest = 0;
    const layOut = (deadline: IdleDeadline) => {
      const waiting = [...(root.current?.querySelectorAll<HTMLElement>(NEXT) ?? [])];
      for (const element of waiting) {
        if (deadline.timeRemaining() < ROOM) break;
        element.dataset.laid = '';
        // Laid out now, while there is time, and not with the frame of a key that comes between.
        element.getBoundingClientRect();
      }
      if (waiting.length > 0) frame = requestAnimationFrame(soon);
    };
    const soon = () => {
      rest = requestIdleCallback(layOut);
    };
    soon();
    return () => {
      cancelIdleCallback(rest);
      cancelAnimationFrame(frame);
    };
  }, [root, drawn, isReady]);
}
