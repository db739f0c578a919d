'use client';

import { useRouter } from 'next/navigation';
import { useMemo, useState } from 'react';
import type { Problem, Result } from '../../lib/base';
import type { BandPage } from '../../lib/protocol';
import {
  clockInFigures,
  EveningModel,
  eveningOfSet,
  type RunningClock,
  runningClock,
  type SetSong,
} from '../../lib/sets';
import { useBand } from '../hooks/useBand';
import { ActionLink, Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { Foot } from '../ui/Foot';
import { ProblemNotice } from '../ui/Notice';
import { Passage } from '../ui/Passage';
import { Present } from '../ui/Present';
import { Status } from '../ui/Status';
import { AfterGig } from './AfterGig';
import { Cutting } from './Cutting';
import type { EntryEdits } from './edits';
import { Ordering } from './Ordering';
import { SetSongs } from './SetSongs';
import { SetTitle } from './SetTitle';
import { StandIn } from './substitute/StandIn';
import { TakeEvening } from './take/TakeEvening';
import { useSetSongs } from './useSetSongs';

/** A set list, live over the band's document: its songs in order, the running clock, what lies between, and a better order on wish. */
export function SetView({
  setId,
  first,
  songs: firstSongs,
}: {
  readonly setId: string;
  readonly first: BandPage;
  /** All songs of the band, as they were when the page was loaded. */
  readonly songs: readonly SetSong[];
}) {
  const live = useBand({ bandId: first.band.id, initial: first.band, you: first.you });
  const { band, edits, status, peers, nextUndo } = live;
  const songs = useSetSongs(first.band.id, firstSongs);
  const set = band.sets.find(({ id }) => id === setId) ?? null;
  const router = useRouter();
  const [problem, setProblem] = useState<Problem | null>(null);
  const [afterGig, setAfterGig] = useState(false);
  const names = useMemo(
    () => Object.fromEntries(band.players.map(({ id, name }) => [id, name])),
    [band.players],
  );
  const nameOf = (playerId: string) => names[playerId] ?? 'somebody';
  const titleOf = (songId: string) =>
    band.songs.find(({ id }) => id === songId)?.title || 'A song without a title';
  const model = useMemo(
    () => (set ? new EveningModel(eveningOfSet(set, band, songs), (id) => names[id] ?? id) : null),
    [set, band, songs, names],
  );

  const told = (done: Result<unknown>): boolean => {
    setProblem(done.ok ? null : done.error);
    return done.ok;
  };
  const entryEdits: EntryEdits | null = edits && {
    move: (id, toIndex) => told(edits.moveInSet(id, toIndex)),
    takeOut: (...ids) => told(edits.removeFromSet(...ids)),
    set: (id, fields) => told(edits.setEntry(id, fields)),
    energy: (songId, energy) => told(edits.setSong(songId, { energy })),
    pair: (pair, wanted) => told(edits.setPair(setId, pair, wanted)),
  };
  const takeBack = edits && nextUndo !== null && (
    <Button shortcut="mod+z" onPress={() => edits.undo()}>
      Take back {nextUndo}
    </Button>
  );
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
          {takeBack}
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
          <SetTitle name={set.name} onRename={edits && ((name) => told(edits.renameSet(setId, name)))} />
          <div className="mt-2 flex flex-wrap items-center gap-x-6">
            <Status status={status} />
            <Present peers={peers.filter((peer) => peer.playerId !== first.you.playerId)} />
            {takeBack}
            {set.entries.length > 0 && (
              <ActionLink href={`/band/${band.id}/book/${setId}`} shortcut="e">
                Evening book
              </ActionLink>
            )}
          </div>
          <p className="mt-2 tabular-nums" data-clock>
            {clockSaid(clock, set.targetSeconds)}
          </p>
          {problem && <ProblemNotice problem={problem} />}
        </header>
        <Passage heading="Songs" rule={false}>
          {set.entries.length === 0 && <p>No songs yet: add them below.</p>}
          <SetSongs
            set={set}
            band={band}
            model={model}
            costs={costs}
            clock={clock}
            nameOf={nameOf}
            titleOf={titleOf}
            edits={entryEdits}
          />
        </Passage>
        <TakeEvening band={band} set={set} you={first.you.playerId} />
        {edits && entryEdits && (
          <>
            <Passage heading="Add a song">
              {band.songs.length === 0 && <p>The band has no songs yet: bring one in on the band’s page.</p>}
              <ul className="flex flex-wrap gap-x-6">
                {band.songs
                  .filter((song) => !song.archived)
                  .map(({ id }) => (
                    <li key={id}>
                      <Button label={`Add ${titleOf(id)}`} onPress={() => told(edits.addToSet(setId, id))}>
                        {titleOf(id)}
                      </Button>
                    </li>
                  ))}
              </ul>
            </Passage>
            <Passage heading="Time promised">
              <Target
                seconds={set.targetSeconds}
                onKeep={(seconds) => told(edits.setTarget(setId, seconds))}
              />
            </Passage>
            <Passage heading="Order">
              <Ordering
                model={model}
                names={names}
                titleOf={(id) => model.song(id).title || 'A song without a title'}
                onTake={(ids) => told(edits.arrangeSet(setId, ids))}
              />
            </Passage>
            {set.entries.length > 1 && (
              <Passage heading="Too long">
                <Cutting
                  model={model}
                  overSeconds={clock.overSeconds}
                  titleOf={(id) => model.song(id).title || 'A song without a title'}
                  onCut={(ids) => entryEdits.takeOut(...ids)}
                />
              </Passage>
            )}
            <Passage heading="After the gig">
              {set.entries.length > 0 && (
                <Button shortcut="g" expanded={afterGig} onPress={() => setAfterGig(!afterGig)}>
                  Say how it went
                </Button>
              )}
              {afterGig && (
                <AfterGig
                  set={set}
                  band={band}
                  titleOf={titleOf}
                  onSay={(songId, text, solid) => told(edits.addRemark({ songId, text, solid }))}
                  onTakeBack={(id) => told(edits.removeRemark(id))}
                />
              )}
              <p>
                <Button
                  onPress={() => {
                    if (told(edits.removeSet(setId))) router.push(`/band/${band.id}`);
                  }}
                >
                  Take this set list away
                </Button>
              </p>
            </Passage>
          </>
        )}
        <StandIn set={set} band={band} by={first.you.playerId} edits={edits} titleOf={titleOf} />
      </main>
      <Foot />
    </>
  );
}

/** `1:04 in all, 0:26 over the 1:00 promised`. */
function clockSaid({ seconds, setSeconds, overSeconds }: RunningClock, target: number | null): string {
  const each =
    setSeconds.length > 1 ? ` (${setSeconds.map(clockInFigures).join(' and ')}, breaks not counted)` : '';
  return `${clockInFigures(seconds)} in all${each}${overSaid(overSeconds, target)}`;
}

function overSaid(over: number | null, target: number | null): string {
  if (over === null || target === null) return '';
  const promised = `the ${clockInFigures(target)} promised`;
  if (Math.abs(over) < 0.5) return `, just ${promised}`;
  return over > 0
    ? `, ${clockInFigures(over)} over ${promised}`
    : `, ${clockInFigures(over)} left of ${promised}`;
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
        hint="For the whole evening, breaks not counted."
        problem={wrong ? 'Give minutes, such as 45' : null}
      />
      <Button submit disabled={draft === null || wrong}>
        Keep it
      </Button>
    </form>
  );
}
