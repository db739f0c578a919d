'use client';

import { useCallback, useEffect, useRef, useState } from 'react';
import type { NextBest, Plan, Progress } from '../../lib/plan';
import type { Song } from '../../lib/song';
import type { PlanAnswer, PlanQuestion } from '../workers/plan';

export interface PlanShown {
  /** Null: not being worked out. */
  readonly progress: Progress | null;
  readonly plan: Plan | null;
  /** By space id. */
  readonly next: ReadonlyMap<string, NextBest>;
  /** The song that the plan was worked out for. */
  readonly song: Song | null;
  readonly failed: boolean;
}

const NOTHING: PlanShown = { progress: null, plan: null, next: new Map(), song: null, failed: false };

/** A plan, worked out beside the page when it is asked for. Asking anew and stopping end what is under way. */
export function usePlan() {
  const worker = useRef<Worker | null>(null);
  const [shown, setShown] = useState<PlanShown>(NOTHING);

  const end = useCallback(() => {
    worker.current?.terminate();
    worker.current = null;
  }, []);
  useEffect(() => end, [end]);

  const ask = useCallback(
    (question: PlanQuestion) => {
      end();
      const current = new Worker(new URL('../workers/plan.ts', import.meta.url), { type: 'module' });
      worker.current = current;
      setShown({ ...NOTHING, progress: { done: 0, of: 0 }, song: question.song });
      current.addEventListener('message', ({ data }: MessageEvent<PlanAnswer>) => {
        if (worker.current !== current) return;
        if (data.kind === 'done') end();
        else setShown((now) => heard(now, data));
      });
      current.addEventListener('error', () => {
        end();
        setShown({ ...NOTHING, failed: true });
      });
      current.postMessage(question);
    },
    [end],
  );
  const stop = useCallback(() => {
    end();
    setShown((now) => ({ ...now, progress: null }));
  }, [end]);
  return { shown, ask, stop };
}

function heard(now: PlanShown, answer: Exclude<PlanAnswer, { kind: 'done' }>): PlanShown {
  switch (answer.kind) {
    case 'ideas':
      return { ...now, progress: answer.progress };
    case 'plan':
      return { ...now, progress: null, plan: answer.plan };
    case 'next':
      return { ...now, next: new Map(now.next).set(answer.next.spaceId, answer.next) };
  }
}
