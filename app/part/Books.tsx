'use client';

import { useEffect, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { Density, Paper } from '../../lib/parts';
import type { BandPage } from '../../lib/protocol';
import type { Answers } from '../hooks/answers';
import { type ApiResult, ask } from '../hooks/api';
import { ActionLink, Button } from '../ui/Button';
import { Choice } from '../ui/Field';
import { ProblemNotice } from '../ui/Notice';
import './part.css';

type Job = Answers['book'];

/** How long after an answer the server is asked again, in milliseconds. */
const ASK_AGAIN = 500;

const isOpen = (job: Job | null): boolean => job?.state === 'waiting' || job?.state === 'at work';

/** The evening books of a set: chosen, made while one watches, stopped, taken along. */
export function Books({ first, setId }: { readonly first: BandPage; readonly setId: string }) {
  const { band, you } = first;
  const set = band.sets.find(({ id }) => id === setId);
  const [paper, setPaper] = useState<Paper>('a4');
  const [density, setDensity] = useState<Density>('whole');
  const [who, setWho] = useState(you.playerId ?? 'all');
  const [job, setJob] = useState<Job | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const books = `/api/bands/${band.id}/books`;
  const told = (answer: ApiResult<Job>) => {
    setProblem(answer.ok ? answer.value.problem : answer.error);
    setJob(answer.ok ? answer.value : null);
  };
  useEffect(() => {
    if (!isOpen(job)) return;
    const timer = setTimeout(() => void ask(`${books}/${job?.bookId}`, 'book').then(told), ASK_AGAIN);
    return () => clearTimeout(timer);
  });
  if (set === undefined) return null;
  const begin = () =>
    ask(`/api/bands/${band.id}/sets/${setId}/books`, 'book', {
      paper,
      density,
      playerIds: who === 'all' ? null : [who],
    }).then(told);
  return (
    <main id="text" className="books">
      <nav aria-label="Where you are">
        <ActionLink href={`/band/${band.id}/set/${setId}`} shortcut="u">
          {set.name}
        </ActionLink>
      </nav>
      <h1>Evening book</h1>
      <p>The set list, every song’s part with what lies between, and the list for the floor.</p>
      <Choice
        label="For"
        value={who}
        options={[
          ...band.players.map(({ id, name }) => ({ value: id, text: name })),
          { value: 'all', text: 'everybody, one file each' },
        ]}
        onChange={setWho}
      />
      <Choice
        label="With"
        value={density}
        options={[
          { value: 'whole', text: 'whole songs' },
          { value: 'cues', text: 'own spaces and their cues' },
          { value: 'one page', text: 'one page a song' },
        ]}
        onChange={setDensity}
      />
      <Choice
        label="Paper"
        value={paper}
        options={[
          { value: 'a4', text: 'A4' },
          { value: 'letter', text: 'Letter' },
        ]}
        onChange={setPaper}
      />
      <p>
        {isOpen(job) ? (
          <Button onPress={() => void ask(`${books}/${job?.bookId}/stop`, 'book', {}).then(told)}>
            Stop
          </Button>
        ) : (
          <Button look="main" onPress={() => void begin()}>
            Make the book
          </Button>
        )}
      </p>
      <p role="status">{job === null ? '' : howFar(job)}</p>
      {job?.state === 'ready' && (
        <p className="take-along">
          <a href={`${books}/${job.bookId}/file`} download>
            Take it along
          </a>
        </p>
      )}
      {problem && <ProblemNotice problem={problem} />}
    </main>
  );
}

function howFar({ state, done, of }: Job): string {
  switch (state) {
    case 'waiting':
      return 'Waiting for its turn.';
    case 'at work':
      return `Song ${done} of ${of} is laid out.`;
    case 'ready':
      return 'The book is ready. It is kept for ten minutes.';
    case 'stopped':
      return 'Stopped.';
    case 'failed':
      return '';
  }
}
