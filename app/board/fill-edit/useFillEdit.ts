'use client';

import { useEffect, useRef, useState } from 'react';
import type { Problem } from '../../../lib/base';
import type { Edited, FillEdit } from '../../../lib/fills';
import type { Standing } from '../../workers/offers';
import type { Seated } from '../useOffers';

/** A fill while it is changed by hand, each change a step that can be taken back. */
export interface FillEditing {
  /** Null: its marks are being worked out. */
  readonly now: Edited | null;
  /** Why the last change was refused. */
  readonly problem: Problem | null;
  /**
   * Makes a change of the fill as it stands when the changes before it are done; null: there is none to make. A change that replaces belongs to the
   * step before it (the second digit of a fret).
   */
  readonly change: (make: (now: Edited) => FillEdit | null, replaces?: boolean) => void;
  readonly undo: (() => void) | null;
  readonly redo: (() => void) | null;
}

interface Steps {
  readonly all: readonly Edited[];
  readonly at: number;
}

export function useFillEdit(
  { desk, seat }: Seated,
  fill: Standing,
  done: (now: Edited) => void,
): FillEditing {
  const [steps, setSteps] = useState<Steps>({ all: [], at: -1 });
  const [problem, setProblem] = useState<Problem | null>(null);
  const latest = useRef(steps);
  const queue = useRef<Promise<unknown>>(Promise.resolve());
  const saying = useRef(done);
  useEffect(() => {
    saying.current = done;
  });
  const put = (next: Steps) => {
    latest.current = next;
    setSteps(next);
  };

  // biome-ignore lint/correctness/useExhaustiveDependencies: a fill is taken up once; what is changed is here from then on
  useEffect(() => {
    let isWanted = true;
    void desk.ask(seat, { kind: 'edit', fill, edit: null }).then((answer) => {
      if (!isWanted || answer?.kind !== 'edit') return;
      if (answer.edited.ok) put({ all: [answer.edited.value], at: 0 });
      else setProblem(answer.edited.error);
    });
    return () => {
      isWanted = false;
    };
  }, [desk]);

  const change: FillEditing['change'] = (make, replaces = false) => {
    queue.current = queue.current.then(async () => {
      const { all, at } = latest.current;
      const now = all[at];
      const edit = now ? make(now) : null;
      if (!now || !edit) return;
      const answer = await desk.ask(seat, { kind: 'edit', fill: now, edit });
      if (answer?.kind !== 'edit') return;
      if (!answer.edited.ok) return setProblem(answer.edited.error);
      setProblem(null);
      const kept = all.slice(0, replaces && at > 0 ? at : at + 1);
      put({ all: [...kept, answer.edited.value], at: kept.length });
      saying.current(answer.edited.value);
    });
  };
  const goTo = (at: number) => {
    const there = steps.all[at];
    if (!there) return null;
    return () => {
      put({ all: latest.current.all, at });
      setProblem(null);
      saying.current(there);
    };
  };
  return {
    now: steps.all[steps.at] ?? null,
    problem,
    change,
    undo: goTo(steps.at - 1),
    redo: goTo(steps.at + 1),
  };
}
