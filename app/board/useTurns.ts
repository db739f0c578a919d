'use client';

import { useEffect, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { Offer, Way } from '../../lib/fills';
import type { Seated } from './useOffers';

/** What has become of the ideas of a list, turn after turn. */
export interface Turns {
  /** The ideas as they stand now, in the list's order. */
  readonly ideas: readonly Offer[];
  /** The idea that is being turned; null: none. */
  readonly busy: number | null;
  /** Why the last turn of an idea gave nothing. */
  readonly problem: { readonly index: number; readonly problem: Problem } | null;
  /** What the last turn did, to be read out. */
  readonly said: string;
  readonly turn: (index: number, way: Way) => void;
  /** The idea before its last turn; null: it stands as it was offered. */
  readonly back: (index: number) => (() => void) | null;
  readonly stop: () => void;
}

/** Ideas that can be turned: the same again, fewer notes, and so on, each with the way back. */
export function useTurns(offers: readonly Offer[], seated: Seated | null): Turns {
  const [list, setList] = useState<{
    readonly of: readonly Offer[];
    readonly past: readonly (readonly Offer[])[];
  }>({ of: offers, past: offers.map((offer) => [offer]) });
  const [busy, setBusy] = useState<number | null>(null);
  const [problem, setProblem] = useState<Turns['problem']>(null);
  const [said, setSaid] = useState('');
  const current = useRef(offers);
  useEffect(() => {
    current.current = offers;
    setBusy(null);
    setProblem(null);
    setSaid('');
  }, [offers]);
  const past = list.of === offers ? list.past : offers.map((offer) => [offer]);
  const put = (index: number, one: readonly Offer[]) =>
    setList({ of: offers, past: past.map((each, i) => (i === index ? one : each)) });

  const turn = (index: number, way: Way) => {
    const trail = past[index];
    const idea = trail?.[trail.length - 1];
    if (!seated || !trail || !idea || busy !== null) return;
    setBusy(index);
    setProblem(null);
    void seated.desk
      .ask(seated.seat, { kind: 'turn', idea, way, seen: way === 'same idea again' ? trail : [] })
      .then((answer) => {
        if (current.current !== offers) return;
        setBusy(null);
        if (answer?.kind !== 'turn') return;
        const { idea: turned } = answer;
        if (!turned.ok) return setProblem({ index, problem: turned.error });
        put(index, [...trail, turned.value]);
        setSaid(`Idea ${index + 1}, ${way}: ${turned.value.title}, ${turned.value.notes.length} notes`);
      });
  };
  return {
    ideas: past.flatMap((trail) => trail[trail.length - 1] ?? []),
    busy,
    problem,
    said,
    turn,
    back: (index) => {
      const trail = past[index];
      if (!trail || trail.length < 2) return null;
      return () => {
        put(index, trail.slice(0, -1));
        setProblem(null);
        setSaid(`Idea ${index + 1}: the one before`);
      };
    },
    stop: () => seated?.desk.stop(),
  };
}
