'use client';

import { useMemo, useRef, useState } from 'react';
import type { Problem, Result } from '../../lib/base';
import type { BandPage } from '../../lib/protocol';
import { EveningModel, eveningOfSet, runningClock, type SetSong } from '../../lib/sets';
import { useBand } from '../hooks/useBand';
import { ARROWS, useKeys } from '../hooks/useKeys';
import { ActionLink, Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { Foot } from '../ui/Foot';
import { ProblemNotice } from '../ui/Notice';
import { Passage } from '../ui/Passage';
import { Present } from '../ui/Present';
import { Status } from '../ui/Status';
import { clockOf } from './clock';
import { EntryRow } from './EntryRow';
import type { EntryEdits } from './edits';
import { Ordering } from './Ordering';
import { useDrag } from './useDrag';

/** A set list, live over the band's document: its songs in order, the running clock, what lies between, and a better order on wish. */
export function SetView({
  setId,
  first,
  songs,
}: {
  readonly setId: string;
  readonly first: BandPage;
  /** All songs of the band, as they were when the page was loaded. */
  readonly songs: readonly SetSong[];
}) {
  const live = useBand({ bandId: first.band.id, initial: first.band, you: first.you });
  const { band, edits, status, peers, nextUndo } = live;
  const set = band.sets.find(({ id }) => id === setId) ?? null;
  const [problem, setProblem] = useState<Problem | null>(null);
  const list = useRef<HTMLOListElement>(null);
  const names = useMemo(
    () => Object.fromEntries(band.players.map(({ id, name }) => [id, name])),
    [band.players],
  );
  const model = useMemo(
    () => (set ? new EveningModel(eveningOfSet(set, band, songs), (id) => names[id] ?? id) : null),
    [set, band, songs, names],
  );

  const told = (done: Result<unknown> | undefined) => setProblem(done && !done.ok ? done.error : null);
  const entryEdits: EntryEdits | null = edits && {
    move: (id, toIndex) => told(edits.moveInSet(id, toIndex)),
    takeOut: (id) => told(edits.removeFromSet(id)),
    set: (id, fields) => told(edits.setEntry(id, fields)),
    energy: (songId, energy) => told(edits.setSong(songId, { energy })),
  };
  const drag = useDrag(list, (id, toIndex) => entryEdits?.move(id, toIndex));
  const links = () => [...(list.current?.querySelectorAll<HTMLElement>('a[data-song]') ?? [])];
  const atFocus = () => links().findIndex((link) => link.closest('li')?.contains(document.activeElement));
  const step = (by: 1 | -1) => {
    const all = links();
    const at = atFocus();
    all[at < 0 ? 0 : (at + by + all.length) % all.length]?.focus();
  };
  const carry = (by: 1 | -1) => {
    const at = atFocus();
    const entry = set?.entries[at];
    const to = at + by;
    if (entry && to >= 0 && to < (set?.entries.length ?? 0)) entryEdits?.move(entry.id, to);
  };
  useKeys({
    [ARROWS.down]: () => step(1),
    [ARROWS.up]: () => step(-1),
    [`shift+${ARROWS.down}`]: () => carry(1),
    [`shift+${ARROWS.up}`]: () => carry(-1),
  });

  const back = (
    <nav aria-label="Where you are">
      <ActionLink href={`/band/${band.id}`} shortcut="h">
        {band.name || 'The band'}
      </ActionLink>
    </nav>
  );
  if (!set || !model) {
    return (
      <main id="text" className="page">
        <header className="indent pt-2">
          {back}
          <h1 className="text-4xl">This set is no longer there</h1>
        </header>
      </main>
    );
  }
  const costs = model.costsOf(set.entries.map(({ id }) => id));
  const clock = runningClock(model.evening, costs);

  return (
    <>
      <main id="text" className="page">
        <header className="indent pt-2">
          {back}
          <h1 className="text-4xl">{set.name}</h1>
          <div className="mt-2 flex flex-wrap items-center gap-x-6">
            <Status status={status} />
            <Present peers={peers.filter((peer) => peer.playerId !== first.you.playerId)} />
            {edits && nextUndo !== null && (
              <Button shortcut="mod+z" onPress={() => edits.undo()}>
                Take back {nextUndo}
              </Button>
            )}
            {set.entries.length > 0 && (
              <ActionLink href={`/band/${band.id}/book/${setId}`} shortcut="e">
                Evening book
              </ActionLink>
            )}
          </div>
          <p className="mt-2 tabular-nums" data-clock>
            {clockOf(clock.seconds)} in all{overSaid(clock.overSeconds, set.targetSeconds)}
          </p>
          {problem && <ProblemNotice problem={problem} />}
        </header>
        <Passage heading="Songs" rule={false}>
          {set.entries.length === 0 && <p>No songs yet: add them below.</p>}
          {edits && set.entries.length > 1 && (
            <p className="aside">Arrow keys go through the songs; with Shift they carry one along.</p>
          )}
          <ol ref={list} aria-label="The songs in order">
            {set.entries.map((entry, index) => (
              <EntryRow
                key={entry.id}
                entry={entry}
                index={index}
                count={set.entries.length}
                song={model.song(entry.id)}
                href={`/band/${band.id}/song/${entry.songId}`}
                clock={clock.entries[index] ?? { songId: entry.id, set: 0, startSeconds: 0, endSeconds: 0 }}
                after={costs.between[index] ?? null}
                sets={model.evening.sets}
                edits={entryEdits}
                drag={drag}
              />
            ))}
          </ol>
        </Passage>
        {edits && (
          <>
            <Passage heading="Order">
              <Ordering
                model={model}
                names={names}
                overSeconds={clock.overSeconds}
                onTake={(ids) => told(edits.arrangeSet(setId, ids))}
                onCut={(ids) => {
                  for (const id of ids) told(edits.removeFromSet(id));
                }}
              />
            </Passage>
            <Passage heading="Time promised">
              <Target
                seconds={set.targetSeconds}
                onKeep={(seconds) => told(edits.setTarget(setId, seconds))}
              />
            </Passage>
            <Passage heading="Add a song">
              <ul className="flex flex-wrap gap-x-6">
                {band.songs
                  .filter((song) => !song.archived)
                  .map(({ id, title }) => (
                    <li key={id}>
                      <Button
                        label={`Add ${title || 'a song without a title'}`}
                        onPress={() => told(edits.addToSet(setId, id))}
                      >
                        {title || 'A song without a title'}
                      </Button>
                    </li>
                  ))}
              </ul>
            </Passage>
          </>
        )}
      </main>
      <Foot />
    </>
  );
}

function overSaid(over: number | null, target: number | null): string {
  if (over === null || target === null) return '';
  const promised = `the ${clockOf(target)} promised`;
  if (Math.abs(over) < 0.5) return `, just ${promised}`;
  return over > 0 ? `, ${clockOf(over)} over ${promised}` : `, ${clockOf(over)} left of ${promised}`;
}

function Target({
  seconds,
  onKeep,
}: {
  readonly seconds: number | null;
  readonly onKeep: (seconds: number | null) => void;
}) {
  const shown = seconds === null ? '' : String(Math.round(seconds / 6) / 10);
  const [draft, setDraft] = useState<string | null>(null);
  const text = (draft ?? shown).trim();
  const minutes = Number(text);
  const wrong = text !== '' && !(minutes >= 0 && minutes <= 1440);
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        if (wrong) return;
        onKeep(text === '' ? null : minutes * 60);
        setDraft(null);
      }}
    >
      <Field
        label="Minutes promised"
        kind="number"
        most={8}
        value={draft ?? shown}
        onChange={setDraft}
        problem={wrong ? 'Give minutes, such as 45' : null}
      />
      <Button submit disabled={draft === null || wrong}>
        Keep it
      </Button>
    </form>
  );
}
