'use client';

import { useEffect, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { BookRequest } from '../../lib/protocol';
import type { Answers } from '../hooks/answers';
import { type ApiResult, ask } from '../hooks/api';

export type Job = Answers['book'];

/** How long after an answer the server is asked again, in milliseconds. */
const ASK_AGAIN = 500;

export const isOpen = (job: Job | null): boolean => job?.state === 'waiting' || job?.state === 'at work';

export interface BookJobs {
  readonly job: Job | null;
  readonly problem: Problem | null;
  readonly begin: (request: Partial<BookRequest>) => void;
  readonly stop: () => void;
  readonly forget: () => void;
}

/** One book being made by the server while one watches. An answer to what was asked before is passed over. */
export function useBookJob(bandId: string, setId: string): BookJobs {
  const [job, setJob] = useState<Job | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  /** Which of the books that were begun here is watched. */
  const watched = useRef(0);
  const books = `/api/bands/${bandId}/books`;
  const told = (answer: ApiResult<Job>) => {
    setProblem(answer.ok ? answer.value.problem : answer.error);
    setJob(answer.ok ? answer.value : null);
  };
  useEffect(() => {
    if (!isOpen(job)) return;
    let current = true;
    const timer = setTimeout(async () => {
      const answer = await ask(`${books}/${job?.bookId}`, 'book');
      if (current) told(answer);
    }, ASK_AGAIN);
    return () => {
      current = false;
      clearTimeout(timer);
    };
  });
  return {
    job,
    problem,
    begin: (request) => {
      watched.current += 1;
      const mine = watched.current;
      setJob(null);
      void ask(`/api/bands/${bandId}/sets/${setId}/books`, 'book', request).then((answer) => {
        if (watched.current === mine) told(answer);
      });
    },
    stop: () => void ask(`${books}/${job?.bookId}/stop`, 'book', {}).then(told),
    forget: () => {
      watched.current += 1;
      setJob(null);
      setProblem(null);
    },
  };
}
