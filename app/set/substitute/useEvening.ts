'use client';

import { useCallback, useEffect, useState, useSyncExternalStore } from 'react';
import { fail } from '../../../lib/base';
import { songDocument } from '../../../lib/protocol';
import type { SubstituteRequest } from '../../../lib/substitutes';
import { newId } from '../../hooks/newId';
import { openDocument } from '../../sync';
import type { SubstituteAnswer } from '../../workers/substitute';
import { EveningAtHand, type EveningRequest } from './evening';
import type { EveningState } from './states';
import { NOT_WORKED_OUT } from './words';

const never = () => () => {};
const nothing = () => null;

/** An evening in other hands, worked out beside the page when it is asked for; left when the component goes, or for another one. */
export function useEvening(
  bandId: string,
  by: string | null,
): {
  readonly evening: EveningAtHand | null;
  readonly state: EveningState | null;
  readonly ask: (request: EveningRequest | null) => void;
} {
  const [request, ask] = useState<EveningRequest | null>(null);
  const [evening, setEvening] = useState<EveningAtHand | null>(null);
  useEffect(() => {
    if (request === null) return;
    const worker = workInLine();
    const made = new EveningAtHand(request, {
      by,
      now: Date.now,
      makeId: newId,
      openSong: (songId, onReplaced) => openDocument(songDocument(bandId, songId), { onReplaced }),
      work: worker.work,
      stopWork: worker.stop,
    });
    setEvening(made);
    made.begin();
    const warn = (event: BeforeUnloadEvent) => {
      if (!made.mayLeave()) event.preventDefault();
    };
    window.addEventListener('beforeunload', warn);
    return () => {
      window.removeEventListener('beforeunload', warn);
      setEvening(null);
      made.leave();
    };
  }, [request, bandId, by]);
  const snapshot = useCallback(() => evening?.state.getSnapshot() ?? null, [evening]);
  const state = useSyncExternalStore(evening?.state.subscribe ?? never, snapshot, nothing);
  return { evening, state, ask };
}

/** One worker, asked about one song at a time. Stopping ends it; the next question begins a new one. */
function workInLine() {
  let worker: Worker | null = null;
  let settle: ((answer: SubstituteAnswer | null) => void) | null = null;
  const answered = (answer: SubstituteAnswer | null) => {
    const before = settle;
    settle = null;
    before?.(answer);
  };
  const stop = () => {
    worker?.terminate();
    worker = null;
    answered(null);
  };
  const work = (request: SubstituteRequest) =>
    new Promise<SubstituteAnswer | null>((resolve) => {
      settle = resolve;
      if (worker === null) {
        worker = new Worker(new URL('../../workers/substitute.ts', import.meta.url), { type: 'module' });
        worker.addEventListener('message', ({ data }: MessageEvent<SubstituteAnswer>) => answered(data));
        worker.addEventListener('error', () => {
          worker = null;
          answered(fail(NOT_WORKED_OUT.what, NOT_WORKED_OUT.where, NOT_WORKED_OUT.mend));
        });
      }
      worker.postMessage(request);
    });
  return { work, stop };
}
