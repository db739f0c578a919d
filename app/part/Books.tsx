'use client';

import { useEffect, useState } from 'react';
import { BOOK_LISTS, type Density, type Paper } from '../../lib/parts';
import type { BandPage } from '../../lib/protocol';
import type { Band, SetList } from '../../lib/song';
import { useKeys } from '../hooks/useKeys';
import { ActionLink, Button } from '../ui/Button';
import { Choice } from '../ui/Field';
import { Foot } from '../ui/Foot';
import { Key } from '../ui/Key';
import { ProblemNotice } from '../ui/Notice';
import { type Change, Changes } from './Changes';
import { type BookLook, changedSince, printedBefore, rememberPrinted } from './printed';
import { isOpen, type Job, useBookJob } from './useBookJob';
import './part.css';

/** The evening books of a set: chosen, made while one watches, stopped, taken along; and what of them has changed since they were printed. */
export function Books({ first, setId }: { readonly first: BandPage; readonly setId: string }) {
  const { band, you } = first;
  const set = band.sets.find(({ id }) => id === setId);
  const [paper, setPaper] = useState<Paper>('a4');
  const [density, setDensity] = useState<Density>('whole');
  const [who, setWho] = useState(you.playerId ?? 'all');
  /** Raised when something is printed, so that what is remembered is looked at again. */
  const [printings, setPrintings] = useState(0);
  const making = useBookJob(band.id, setId);
  const looking = useBookJob(band.id, setId);
  const { job } = making;
  const playerIds = who === 'all' ? band.players.map(({ id }) => id) : [who];
  const lookOf = (playerId: string): BookLook => ({ bandId: band.id, setId, playerId, paper, density });
  // A book that was made is of no use for another choice; paper that this device printed is held against the songs as they are now.
  // biome-ignore lint/correctness/useExhaustiveDependencies: asked anew for another choice or printing, not for each drawing of the page
  useEffect(() => making.forget(), [who, paper, density]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: likewise
  useEffect(() => {
    looking.forget();
    const known = playerIds.filter((id) => printedBefore(lookOf(id)) !== null);
    if (known.length > 0) looking.begin({ paper, density, playerIds: known, stampsOnly: true });
  }, [who, paper, density, printings]);
  if (set === undefined) return null;

  const changes = looking.job?.state === 'ready' ? changesOf(looking.job, lookOf, set, band) : null;
  const only = Object.fromEntries(
    (changes ?? []).map(({ playerId, parts }) => [playerId, parts.map(({ name }) => name)]),
  );
  const changed = (changes ?? []).filter(({ parts }) => parts.length > 0).map(({ playerId }) => playerId);
  const remember = () => {
    for (const [playerId, stamps] of Object.entries(job?.stamps ?? {}))
      rememberPrinted(lookOf(playerId), stamps, Date.now());
  };
  const begin = () => making.begin({ paper, density, playerIds });
  return (
    <>
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
        {isOpen(looking.job) && <p className="aside">Looking what has changed since you printed…</p>}
        {changes && (
          <Changes
            changes={changes}
            disabled={isOpen(job)}
            onPrint={() => making.begin({ paper, density, playerIds: changed, only })}
          />
        )}
        <p>
          {isOpen(job) ? (
            <Button shortcut="Escape" onPress={making.stop}>
              Stop
            </Button>
          ) : (
            <Button look="main" shortcut="b" onPress={begin}>
              Make the {who === 'all' ? 'books' : 'book'}
            </Button>
          )}
        </p>
        <p role="status">{job === null ? '' : howFar(job)}</p>
        {job?.state === 'ready' && (
          <TakeIt
            href={`/api/bands/${band.id}/books/${job.bookId}/file`}
            onTaken={() => {
              remember();
              setPrintings((before) => before + 1);
            }}
          />
        )}
        {making.problem && <ProblemNotice problem={making.problem} />}
      </main>
      <Foot />
    </>
  );
}

/** What of each player's book is otherwise now than on the paper. */
function changesOf(
  { stamps }: Job,
  lookOf: (playerId: string) => BookLook,
  set: SetList,
  band: Band,
): readonly Change[] {
  const titleOf = (name: string): string => {
    const index = set.entries.findIndex(({ id }) => id === name);
    if (index < 0) return BOOK_LISTS.find((list) => list === name) ?? 'another part';
    const songId = set.entries[index]?.songId;
    return `${index + 1}. ${band.songs.find(({ id }) => id === songId)?.title ?? ''}`;
  };
  return Object.entries(stamps ?? {}).flatMap(([playerId, now]) => {
    const printed = printedBefore(lookOf(playerId));
    if (printed === null) return [];
    const parts = changedSince(printed, now).map((name) => ({ name, title: titleOf(name) }));
    const player = band.players.find(({ id }) => id === playerId)?.name ?? '';
    return [{ playerId, player, printedAt: printed.at, parts, of: Object.keys(now).length }];
  });
}

function TakeIt({ href, onTaken }: { readonly href: string; readonly onTaken: () => void }) {
  useKeys({
    t: () => {
      location.assign(href);
      onTaken();
    },
  });
  return (
    <p className="take-along">
      <a href={href} download onClick={onTaken} aria-keyshortcuts="t">
        Take it along
      </a>
      <Key name="t" />
    </p>
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
