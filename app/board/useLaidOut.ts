'use client';

import { type RefObject, useEffect } from 'react';

/** What is to be laid out next: first the lines of a pass as a whole, which costs little, then each of them. */
const NEXT = '.lines:not([data-laid]), .lines[data-laid] > .line:not([data-laid])';
/** A pass of more lines is laid out as it comes near: each of its lines would have all of them placed anew. */
const LINES = 40;
/** So much of a rest is taken at most, in milliseconds: a key that comes then does not wait longer for it. */
const TAKEN = 8;
/** And so much of it is left for the frame. */
const LEFT = 6;
/** How long after the last key or turn of the wheel a rest may begin, in milliseconds. */
const AFTER = 400;
const AT_WORK = ['keydown', 'wheel', 'pointerdown', 'touchmove'] as const;

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
    let timer = 0;
    let rest = 0;
    const layOut = (deadline: IdleDeadline) => {
      const until = Math.max(LEFT, deadline.timeRemaining() - TAKEN);
      const waiting = [...(root.current?.querySelectorAll<HTMLElement>(NEXT) ?? [])].filter(
        (element) => (element.closest('.lines')?.childElementCount ?? 0) <= LINES,
      );
      for (const element of waiting) {
        if (deadline.timeRemaining() < until) break;
        element.dataset.laid = '';
        // Laid out now, while there is time, and not with the frame of a key that comes between.
        element.getBoundingClientRect();
      }
      if (waiting.length > 0) soon(0);
    };
    const soon = (wait: number) => {
      window.clearTimeout(timer);
      cancelIdleCallback(rest);
      timer = window.setTimeout(() => {
        rest = requestIdleCallback(layOut);
      }, wait);
    };
    const isAtWork = () => soon(AFTER);
    soon(AFTER);
    for (const what of AT_WORK) window.addEventListener(what, isAtWork, { passive: true });
    return () => {
      window.clearTimeout(timer);
      cancelIdleCallback(rest);
      for (const what of AT_WORK) window.removeEventListener(what, isAtWork);
    };
  }, [root, drawn, isReady]);
}
