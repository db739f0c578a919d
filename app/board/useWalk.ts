'use client';

import { type RefObject, useCallback, useEffect, useRef, useState } from 'react';
import type { Arrangement } from '../../lib/parts';
import { type Place, samePlace } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import { useKeys } from '../hooks/useKeys';
import { lineInSight } from './facts';
import { useFollowing } from './useFollowing';
import type { WordsWay } from './useWords';

/** Which space is open, and the ways from one to the next. */
export interface Walk {
  /** The space that is open; null: none. */
  readonly open: Space | null;
  /** Whether what stands in it is shown yet: the key that opened it does not wait for that. */
  readonly isShown: boolean;
  readonly setOpen: (spaceId: string | null) => void;
  /** Opens a space, or closes it where it is the one that is open. */
  readonly press: (spaceId: string) => void;
  readonly close: () => void;
  /** To a space, or to the start of the pass that a place is in. */
  readonly goTo: (place: Place) => void;
  /** Opens a line's words, or closes them. */
  readonly onWords: (lineKey: string) => void;
}

/** Either a space is open or a line's words are, never both. The arrow keys go from space to space; `w` opens words. */
export function useWalk(
  root: RefObject<HTMLElement | null>,
  arrangement: Arrangement,
  way: WordsWay,
  mayEdit: boolean,
): Walk {
  const { spaces } = arrangement;
  const [openId, setOpenId] = useState<string | null>(null);
  const [shownId, setShownId] = useState<string | null>(null);
  const { follow, ahead, drop } = useFollowing(shownId);
  const setOpen = useCallback(
    (id: string | null) => {
      drop();
      setOpenId(id);
      setShownId(id);
    },
    [drop],
  );
  const open = spaces.find((space) => space.id === openId) ?? null;
  const focusSpace = (id: string) =>
    root.current?.querySelector<HTMLElement>(`[data-space="${CSS.escape(id)}"]`)?.focus();
  const { choose } = way;
  const press = useCallback(
    (id: string) => {
      choose(null);
      setOpenId((now) => (now === id ? null : id));
      setShownId(null);
      follow(id, () => setShownId(id));
    },
    [choose, follow],
  );
  const openWords = (lineKey: string) => {
    setOpen(null);
    if (way.place?.lineKey === lineKey) way.close();
    else way.openLine(lineKey);
  };
  // What lines are given stays the same from one look to the next, so that only a line that changed is drawn again.
  const opening = useRef(openWords);
  useEffect(() => {
    opening.current = openWords;
  });
  const onWords = useCallback((lineKey: string) => opening.current(lineKey), []);
  const go = (by: number) => {
    const focused = document.activeElement?.getAttribute('data-space');
    const from = openId && (ahead() ?? openId);
    const at = spaces.findIndex((space) => space.id === (from ?? focused));
    const next = spaces[at < 0 ? (by > 0 ? 0 : spaces.length - 1) : at + by];
    if (!next) return;
    focusSpace(next.id);
    if (!from) return;
    // It stays ahead until it stands there: a step further counts from it, and no key means what stood there before.
    follow(next.id, () => {
      setOpenId(next.id);
      setShownId(next.id);
    });
  };
  useKeys(
    Object.fromEntries([
      ['ArrowDown', () => go(1)],
      ['ArrowUp', () => go(-1)],
    ]),
  );
  const close = () => {
    const at = openId && (ahead() ?? openId);
    if (at) focusSpace(at);
    setOpen(null);
  };
  // What is not shown yet has no key of its own to close it.
  useKeys({ Escape: close }, openId !== null && openId !== shownId);
  useKeys({ w: () => openWords(lineInSight(root.current)) }, mayEdit);
  return {
    open,
    isShown: open !== null && openId === shownId,
    setOpen,
    press,
    close,
    goTo: (place) => {
      const space = spaces.find((one) => samePlace(one.place, place));
      if (space) return focusSpace(space.id);
      root.current?.querySelector(`[data-pass="${CSS.escape(place.passId)}"]`)?.scrollIntoView();
    },
    onWords,
  };
}
