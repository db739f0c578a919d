'use client';

import { type RefObject, useEffect } from 'react';
import type { PassLines } from '../../lib/parts';
import type { OpenDocument } from '../sync';
import { sightOf } from './along';

/** How long the page rests before it says where it looks, in milliseconds: who scrolls past tells nothing. */
const REST = 150;
/** What lies above this is out of sight, in pixels; as far as a line is brought down when it is gone to. */
const TOP = 76;

/** Tells the others which line is the first in sight. */
export function useOwnSight(
  document: OpenDocument | null,
  root: RefObject<HTMLElement | null>,
  passes: readonly PassLines[],
): void {
  useEffect(() => {
    if (!document) return;
    let timer: number | null = null;
    let told = '';
    const tell = () => {
      timer = null;
      const line = firstInSight(root.current);
      if (line === null || line === told) return;
      told = line;
      document.awareness.setLocalStateField('sight', sightOf(passes, line));
    };
    const soon = () => {
      if (timer !== null) window.clearTimeout(timer);
      timer = window.setTimeout(tell, REST);
    };
    soon();
    window.addEventListener('scroll', soon, { passive: true });
    window.addEventListener('resize', soon);
    return () => {
      if (timer !== null) window.clearTimeout(timer);
      window.removeEventListener('scroll', soon);
      window.removeEventListener('resize', soon);
    };
  }, [document, root, passes]);
}

/** The key of the first line whose end is in sight. */
export function firstInSight(root: HTMLElement | null): string | null {
  const lines = root?.querySelectorAll<HTMLElement>('[data-line]') ?? [];
  let last: HTMLElement | null = null;
  for (const line of lines) {
    last = line;
    if (line.getBoundingClientRect().bottom > TOP) break;
  }
  return last?.getAttribute('data-line') ?? null;
}
