'use client';

import { type RefObject, useEffect, useRef } from 'react';
import type { Arrangement } from '../../lib/parts';
import { lineOfSpace, type Target } from './along';
import type { Walk } from './useWalk';
import type { WordsWay } from './useWords';

/** Keys by which somebody moves over the page. */
const MOVES = new Set(['ArrowUp', 'ArrowDown', 'PageUp', 'PageDown', 'Home', 'End', ' ', 'Tab']);
const FIELDS = 'textarea, select, input:not([type="checkbox"], [type="radio"]), [contenteditable="true"]';

export interface AlongWays {
  readonly root: RefObject<HTMLElement | null>;
  readonly arrangement: Arrangement;
  readonly walk: Walk;
  readonly way: WordsWay;
}

/** Shows a line at the top; in one step for who wants no motion. */
export function showLine(root: HTMLElement | null, lineKey: string | null): void {
  if (lineKey === null) return;
  const isStill = window.matchMedia('(prefers-reduced-motion: reduce)').matches;
  root
    ?.querySelector(`[data-line="${CSS.escape(lineKey)}"]`)
    ?.scrollIntoView({ block: 'start', behavior: isStill ? 'instant' : 'smooth' });
}

/**
 * Keeps this board where somebody else's is, while `target` says where that is: the same space open, the same line in sight.
 * Whatever one does to move by oneself calls `stop`: the wheel, a finger, a key that moves, a space or words that one opens, anything
 * typed into a field. So does Escape, which then does nothing else.
 *
 * @param isOn whether one goes along with somebody, also while they are away
 */
export function useAlong(
  { root, arrangement, walk, way }: AlongWays,
  {
    isOn,
    target,
    stop,
  }: { readonly isOn: boolean; readonly target: Target | null; readonly stop: () => void },
): void {
  const openId = walk.open?.id ?? null;
  /** The space that going along has opened last. */
  const given = useRef<string | null>(null);
  const halt = () => {
    // A scroll that is under way would still move who has just moved by themselves.
    window.scrollTo({ top: window.scrollY, behavior: 'instant' });
    stop();
  };
  const now = useRef({ arrangement, walk, way, stop: halt });
  useEffect(() => {
    now.current = { arrangement, walk, way, stop: halt };
  });

  const spaceId = target?.spaceId ?? null;
  const line = target?.line ?? null;
  const isThere = isOn && target !== null;
  const before = useRef<string | null>(null);
  useEffect(() => {
    if (!isThere) {
      before.current = null;
      return;
    }
    const opens = spaceId !== null && spaceId !== before.current;
    before.current = spaceId;
    const { arrangement: song, walk: ways } = now.current;
    // What is about to be closed must not take the focus with it.
    const focused = document.activeElement;
    if (spaceId !== given.current && focused?.closest('.detail') && focused instanceof HTMLElement)
      focused.blur();
    given.current = spaceId;
    ways.setOpen(spaceId);
    showLine(root.current, opens ? lineOfSpace(song, spaceId) : line);
  }, [isThere, spaceId, line, root]);

  // Opened or closed by anything else: that was a move of one's own.
  const seen = useRef(openId);
  useEffect(() => {
    const hasChanged = seen.current !== openId;
    seen.current = openId;
    if (isOn && hasChanged && openId !== given.current) now.current.stop();
  }, [isOn, openId]);
  const hasWords = way.place !== null;
  useEffect(() => {
    if (isOn && hasWords) now.current.stop();
  }, [isOn, hasWords]);

  useEffect(() => {
    if (!isOn) return;
    const end = new AbortController();
    const moved = () => now.current.stop();
    const options = { capture: true, passive: true, signal: end.signal } as const;
    document.addEventListener('wheel', moved, options);
    document.addEventListener('touchmove', moved, options);
    // The scroll bar belongs to nothing in the page.
    document.addEventListener(
      'pointerdown',
      ({ target: at }) => {
        if (at === document.documentElement) moved();
      },
      options,
    );
    for (const kind of ['click', 'focusin'] as const)
      document.addEventListener(
        kind,
        ({ target: at }) => {
          if (at instanceof Element && at.closest('[data-line]')) moved();
        },
        options,
      );
    document.addEventListener(
      'keydown',
      (event) => {
        if (event.key === 'Escape') {
          event.preventDefault();
          moved();
        } else if (MOVES.has(event.key)) moved();
        else if (event.key.length === 1 && event.target instanceof Element && event.target.matches(FIELDS))
          moved();
      },
      { capture: true, signal: end.signal },
    );
    return () => end.abort();
  }, [isOn]);
}
