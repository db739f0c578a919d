'use client';

import { type ReactNode, useRef, useState } from 'react';
import { mayJustSettle, type Word } from '../../lib/song';
import { WhoseWord, type WhoseWordProps } from './WhoseWord';

/** How everything that settles, clears or lets go of an answer asks whose word it is. */
export interface Asking {
  /** Does it where it is this person's word, or anybody's; else asks once. `put` puts it to the band instead; null: that cannot be put. */
  readonly withWord: (word: Word, act: () => void, put: (() => void) | null) => void;
  /** True while a question stands: its keys are then nobody else's. */
  readonly isAsked: boolean;
  /** The question, where one stands. */
  readonly question: ReactNode;
}

/**
 * Who went ahead all the same is not asked again about the same people's word, while the place stands from which it was asked.
 *
 * @param you the player at this page; null: a listener, or somebody who has not said who they are
 */
export function useAsking(you: string | null): Asking {
  const [asked, setAsked] = useState<Omit<WhoseWordProps, 'close'> | null>(null);
  const from = useRef<Element | null>(null);
  const wentAhead = useRef<ReadonlySet<string>>(new Set());
  const close = () => {
    setAsked(null);
    // Back to where the question came from, if that still stands.
    if (from.current instanceof HTMLElement && from.current.isConnected) from.current.focus();
  };
  return {
    withWord: (word, act, put) => {
      const whose = `${word.reason.rule} ${word.playerIds.join(' ')}`;
      if (mayJustSettle(word, you) || wentAhead.current.has(whose)) {
        setAsked(null);
        return act();
      }
      if (asked === null) from.current = document.activeElement;
      const goAhead = () => {
        wentAhead.current = new Set(wentAhead.current).add(whose);
        act();
      };
      setAsked({ word, act: goAhead, put });
    },
    isAsked: asked !== null,
    question: asked && <WhoseWord {...asked} close={close} />,
  };
}
