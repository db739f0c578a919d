'use client';

import { useEffect, useRef, useState } from 'react';
import type { Problem } from '../../../lib/base';
import type { BandEdits } from '../../../lib/document';
import type { InstrumentName } from '../../../lib/instruments';
import { type Band, type Player, type SetList, wordOnStandingIn } from '../../../lib/song';
import { useAsking } from '../../board/useAsking';
import { Button } from '../../ui/Button';
import { ProblemNotice } from '../../ui/Notice';
import { SongsInHands } from './SongsInHands';
import { useEvening } from './useEvening';
import { WhoStandsIn } from './WhoStandsIn';
import { eveningSaid, giveBackSaid, progressSaid, takeSaid, unkeptSaid } from './words';

interface Standing {
  readonly from: Player;
  readonly to: Player;
  /** Not in the band before it is taken. */
  readonly isNew: boolean;
}

/** Who is away and who stands in; what becomes of each song of the evening, looked over first and then done in one step; and the way back. */
export function StandInPanel({
  set,
  band,
  by,
  edits,
  titleOf,
  onDone,
}: {
  readonly set: SetList;
  readonly band: Band;
  readonly by: string | null;
  readonly edits: BandEdits | null;
  readonly titleOf: (songId: string) => string;
  readonly onDone: () => void;
}) {
  const { evening, state, ask } = useEvening(band.id, by);
  const [standing, setStanding] = useState<Standing | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const asking = useAsking(by);

  const begin = (from: Player, to: Player, isNew: boolean, instrument: InstrumentName | null) => {
    setProblem(null);
    setStanding({ from, to, isNew });
    ask({
      songIds: set.entries.map(({ songId }) => songId),
      players: isNew ? [...band.players, to] : band.players,
      from,
      to,
      ...(instrument ? { instrument } : {}),
    });
  };
  const told = useRef<HTMLParagraphElement>(null);
  // What was pressed goes away, and single keys are a text field's own: who works by keyboard stands before what is told.
  const isAsked = state !== null;
  useEffect(() => {
    if (isAsked) told.current?.focus();
  }, [isAsked]);
  const forget = () => {
    setStanding(null);
    setProblem(null);
    ask(null);
  };
  const isIn = (id: string) => band.players.some((player) => player.id === id);
  const take = () => {
    if (!standing || !evening) return;
    const { to, isNew } = standing;
    if (isNew && !isIn(to.id)) {
      const { id, ...fields } = to;
      const added = edits?.addPlayer(fields, id);
      if (!added?.ok) return setProblem(added?.error ?? null);
    }
    evening.take();
    told.current?.focus();
  };
  const giveBack = () => {
    if (!standing || !evening) return;
    evening.giveBack();
    told.current?.focus();
    // Who came for this evening only goes with it, unless something of theirs stays.
    const isLeft = evening.state.getSnapshot().songs.some(({ state: { kind } }) => kind === 'taken');
    if (standing.isNew && !isLeft && isIn(standing.to.id)) edits?.removePlayer(standing.to.id);
  };

  const askAndTake = () => {
    if (standing) asking.withWord(wordOnStandingIn(band, standing.from.id), take, null);
  };

  const canTake = state !== null && state.canTake > 0 && (state.ahead === 0 || state.isStopped);
  const isTaken = state?.songs.some((song) => song.state.kind === 'taken') ?? false;
  return (
    <section aria-label="Somebody else plays this evening" className="my-2">
      <WhoStandsIn players={band.players} onAsk={begin} onChange={forget} isAsked={standing !== null} />
      {standing && state && (
        <>
          <div className="my-2 flex flex-wrap items-baseline gap-x-6 tabular-nums empty:hidden">
            {progressSaid(state)}
            {state.ahead > 0 && !state.isStopped && (
              <Button shortcut="Escape" onPress={() => evening?.stop()}>
                Stop, and look at what there is
              </Button>
            )}
            {state.isStopped && state.ahead > 0 && <Button onPress={() => evening?.goOn()}>Go on</Button>}
          </div>
          <p role="status" ref={told} tabIndex={-1} className="outline-none">
            {state.ahead === 0 || state.isStopped ? eveningSaid(state, standing.from, standing.to) : ''}
          </p>
          <p className="aside empty:hidden">{unkeptSaid(state.unkept)}</p>
          <SongsInHands songs={state.songs} from={standing.from} to={standing.to} titleOf={titleOf} />
        </>
      )}
      {problem && <ProblemNotice problem={problem} />}
      {asking.question}
      <div className="mt-3 flex flex-wrap gap-x-6">
        {standing && state && state.canTake > 0 && (
          <Button look="main" shortcut="mod+Enter" onPress={askAndTake} disabled={!canTake || edits === null}>
            {takeSaid(state, standing.to)}
          </Button>
        )}
        {standing && state && state.canGiveBack > 0 && (
          <Button shortcut="b" onPress={giveBack} disabled={edits === null}>
            {giveBackSaid(state, standing.from)}
          </Button>
        )}
        {(!state || state.ahead === 0 || state.isStopped) && (
          <Button shortcut="Escape" onPress={onDone}>
            {isTaken ? 'Done' : 'Leave it as it is'}
          </Button>
        )}
      </div>
    </section>
  );
}
