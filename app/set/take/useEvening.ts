'use client';

import { useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../../lib/base';
import type { Asked, Progress } from './carry';
import type { Missing } from './device';
import type { EveningNote } from './note';
import { alone, FRESH_FOR } from './renew';
import { askToStay, type Stay, whetherItStays } from './stay';
import { stayInWords, TROUBLES, WORDS } from './words';

/** What this device has of an evening, and what it is doing about it. */
export interface Evening {
  /** Null until it has looked. */
  readonly can: boolean | null;
  /** Null: it was not taken along. */
  readonly here: { readonly note: EveningNote; readonly missing: Missing } | null;
  /** Null while nothing is being brought; `byItself` where nobody asked. */
  readonly work: { readonly byItself: boolean; readonly progress: Progress } | null;
  readonly problem: Problem | null;
  readonly stay: Stay | null;
  /** What came of the last thing that was done. */
  readonly said: string;
  readonly take: (playerIds: readonly string[]) => void;
  readonly stop: () => void;
  readonly takeOff: () => void;
}

const START: Progress = { what: 'songs', done: 0, of: 0 };

/**
 * One evening on this device: brought when somebody asks, renewed by itself as long as its page stands and there is a connection, taken off.
 *
 * @param state whatever of the set changes when what comes along does
 */
export function useEvening(bandId: string, setId: string, state: string): Evening {
  const [can, setCan] = useState<boolean | null>(null);
  const [here, setHere] = useState<Evening['here']>(null);
  const [work, setWork] = useState<Evening['work']>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [stay, setStay] = useState<Stay | null>(null);
  const [said, setSaid] = useState('');
  const running = useRef<AbortController | null>(null);

  /** Looks what is on the device. */
  const look = useCallback(async (): Promise<EveningNote | null> => {
    const [{ readNote }, { missingOf }] = await Promise.all([import('./note'), import('./device')]);
    const note = await readNote(bandId, setId);
    setHere(note && { note, missing: await missingOf(bandId, note) });
    return note;
  }, [bandId, setId]);

  const run = useCallback(
    async (asked: Pick<Asked, 'playerIds' | 'anew'>): Promise<void> => {
      if (running.current) return;
      const stopper = new AbortController();
      running.current = stopper;
      const byItself = !asked.anew;
      setWork({ byItself, progress: START });
      try {
        const { carry } = await import('./carry');
        const onProgress = (progress: Progress) => setWork({ byItself, progress });
        const { signal } = stopper;
        const done = await alone(bandId, setId, true, () =>
          carry({ ...asked, bandId, setId, signal, onProgress, now: Date.now }),
        );
        setProblem(null);
        setSaid(done === null && asked.anew ? WORDS.inWork : '');
      } catch (error) {
        const { NotWhole } = await import('./carry');
        if (stopper.signal.aborted) setSaid(asked.anew ? WORDS.stopped : '');
        // Without a connection there is nothing to renew from, and what is here says since when.
        else if (!(error instanceof NotWhole)) setProblem(TROUBLES.device);
        else if (asked.anew || error.trouble !== 'away') setProblem(TROUBLES[error.trouble]);
      } finally {
        running.current = null;
        await look().catch(() => {});
        setWork(null);
      }
    },
    [bandId, setId, look],
  );

  // What is here is looked at once, and told before anything is asked of the server.
  useEffect(() => {
    let isOver = false;
    void (async () => {
      const { canKeep } = await import('./device');
      if (canKeep()) await look();
      if (isOver) return;
      setStay(await whetherItStays(navigator.storage));
      setCan(canKeep());
    })().catch(() => setCan(false));
    return () => {
      isOver = true;
      running.current?.abort();
    };
  }, [look]);

  const playerIds = here?.note.playerIds.join(' ') ?? null;
  const isBusy = work !== null;
  const checkedAt = useRef<number | null>(null);
  /** The state of the set for which it was last brought or tried. */
  const tried = useRef<string | null>(null);
  useEffect(() => {
    checkedAt.current = here?.note.checkedAt ?? null;
  });
  useEffect(() => {
    if (playerIds === null || isBusy) return;
    const renew = (after: number) => {
      const isFresh = checkedAt.current !== null && Date.now() - checkedAt.current < after;
      if (isFresh || !navigator.onLine || document.visibilityState !== 'visible') return;
      tried.current = state;
      void run({ playerIds: playerIds.split(' ').filter(Boolean), anew: false });
    };
    const now = () => renew(NOT_AGAIN_FOR);
    // After what the page itself has to do; an edit to the set is often followed by another.
    const first = setTimeout(() => renew(tried.current === state ? FRESH_FOR : 0), AFTER_A_CHANGE);
    const timer = setInterval(() => renew(FRESH_FOR), FRESH_FOR / 5);
    window.addEventListener('online', now);
    document.addEventListener('visibilitychange', now);
    return () => {
      clearTimeout(first);
      clearInterval(timer);
      window.removeEventListener('online', now);
      document.removeEventListener('visibilitychange', now);
    };
  }, [playerIds, state, isBusy, run]);

  return {
    can,
    here,
    work,
    problem,
    stay,
    said,
    take: (ids) => {
      // What was brought by itself is part of it.
      running.current?.abort();
      tried.current = state;
      setSaid('');
      setProblem(null);
      void askToStay(navigator.storage).then(setStay);
      void whenFree(running).then(() => run({ playerIds: ids, anew: true }));
    },
    stop: () => running.current?.abort(),
    takeOff: () => {
      running.current?.abort();
      setProblem(null);
      void alone(bandId, setId, false, async () => {
        const [{ readNote }, { takeOff }] = await Promise.all([import('./note'), import('./device')]);
        const note = await readNote(bandId, setId);
        if (!note) return;
        const { stay: names } = await takeOff(bandId, note);
        const titles = note.songs.filter(({ id }) => names.some((name) => name.endsWith(`.${id}`)));
        setSaid(stayInWords(titles.map(({ title }) => title)));
      })
        .catch(() => setProblem(TROUBLES.device))
        .finally(look);
    },
  };
}

/** What was held against the server's songs a moment ago is not looked at again when a window is turned to, in milliseconds. */
const NOT_AGAIN_FOR = 3000;
const AFTER_A_CHANGE = 1500;

async function whenFree(running: { readonly current: AbortController | null }): Promise<void> {
  while (running.current !== null) await new Promise((resolve) => setTimeout(resolve, 20));
}
