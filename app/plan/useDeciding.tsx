'use client';

import { type ReactNode, useLayoutEffect, useRef, useState } from 'react';
import type { Result } from '../../lib/base';
import type { SongEdits } from '../../lib/document';
import type { Arrangement } from '../../lib/parts';
import {
  type Clash,
  type PlanEntry,
  type Settling,
  settlingOf,
  settlingOfEntry,
  wordOnMend,
} from '../../lib/plan';
import type { FreedomContext } from '../../lib/players';
import { type Band, mayJustSettle, saysTheSame, type Word, wordOnSettling } from '../../lib/song';
import { useAsking } from '../board/useAsking';
import { isUndecided } from './where-it-stands';
import { CHANGED, PUT_ALREADY, putInWords, settledInWords } from './words';

/** Where a question stands: at the whole plan, at a space of it (by its id), or at a clash (by `clashKey`). */
type At = string;
export const ALL: At = 'all';
export const clashKey = ({ rule, place }: Clash): At => `${rule} ${place.passId} ${place.noteId}`;

export interface Deciding {
  /** What came of the last thing that was done; empty: nothing was. */
  readonly said: string;
  readonly forget: () => void;
  readonly take: (entries: readonly PlanEntry[], at: At) => void;
  readonly mend: (clash: Clash) => void;
  /** The question that stands there. */
  readonly questionAt: (at: At) => ReactNode;
}

/**
 * Accepts what a plan says and mends clashes, each by the word of whose it is. Between a question and its answer the song may have changed:
 * what is no longer as it was when it was asked about is left as it is.
 */
export function useDeciding({
  arrangement,
  context,
  clashes,
  band,
  you,
  edits,
}: {
  readonly arrangement: Arrangement;
  readonly context: FreedomContext;
  readonly clashes: readonly Clash[];
  readonly band: Band;
  /** The player at this page; null: a listener, or not said. */
  readonly you: string | null;
  readonly edits: SongEdits | null;
}): Deciding {
  const { song } = arrangement;
  const asking = useAsking(you);
  const [askedAt, setAskedAt] = useState<At | null>(null);
  const [said, setSaid] = useState('');
  const now = useRef({ arrangement, context, clashes, edits });
  useLayoutEffect(() => {
    now.current = { arrangement, context, clashes, edits };
  });

  const tell = (done: Result<unknown> | undefined, what: string) => {
    if (done) setSaid(done.ok ? what : `${done.error.what}. ${done.error.mend}.`);
  };
  const withWord = (at: At, words: readonly Word[], act: () => void, put: (() => void) | null) => {
    // Of many, the first that is another's is asked about; with none, they are all this person's to settle.
    const word = words.find((one) => !mayJustSettle(one, you)) ?? words[0];
    if (!word) return;
    setSaid('');
    setAskedAt(at);
    asking.withWord(word, act, put);
  };
  const putAll = (settlings: readonly Settling[]) => {
    const { arrangement: latest, edits: by } = now.current;
    const isPut = (one: Settling) =>
      latest.song.proposals.some((put) => put.by === you && saysTheSame(put, one));
    const fresh = settlings.filter((one) => !isPut(one));
    if (fresh.length === 0) return setSaid(PUT_ALREADY);
    tell(by?.proposeAll(fresh), putInWords(fresh.length));
  };

  const take = (entries: readonly PlanEntry[], at: At) => {
    const stillUndecided = () =>
      entries.filter((entry) => isUndecided(entry, now.current.arrangement)).map(settlingOfEntry);
    withWord(
      at,
      entries.map(settlingOfEntry).map(({ place, holding }) => wordOnSettling(band, song, place, holding)),
      () => {
        const settlings = stillUndecided();
        if (settlings.length === 0) return setSaid(CHANGED);
        tell(now.current.edits?.settleAll(settlings), settledInWords(settlings.length));
      },
      () => {
        const settlings = stillUndecided();
        if (settlings.length === 0) return setSaid(CHANGED);
        putAll(settlings);
      },
    );
  };

  const mend = (clash: Clash) => {
    const key = clashKey(clash);
    const standing = () => now.current.clashes.find((one) => clashKey(one) === key);
    withWord(
      key,
      [wordOnMend(band, song, clash.mend.edit)],
      () => {
        const still = standing();
        if (still?.mend.says !== clash.mend.says) return setSaid(CHANGED);
        const { edit, says } = still.mend;
        const { context: latest, edits: by } = now.current;
        const settling = settlingOf(edit, latest);
        if (settling) tell(by?.settle(settling.place, settling.extent, settling.holding), `Done: ${says}.`);
        else tell(by?.unsettle(edit.place), `Done: ${says}.`);
      },
      clash.mend.edit.kind === 'unsettle'
        ? null
        : () => {
            const still = standing();
            const settling = still && settlingOf(still.mend.edit, now.current.context);
            if (settling) putAll([settling]);
            else setSaid(CHANGED);
          },
    );
  };

  return {
    said,
    forget: () => setSaid(''),
    take,
    mend,
    questionAt: (at) => (at === askedAt ? asking.question : null),
  };
}
