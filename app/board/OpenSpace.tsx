'use client';

import type { BandEdits, SongEdits } from '../../lib/document';
import { fillOf, type Offer } from '../../lib/fills';
import type { Arrangement } from '../../lib/parts';
import { whoIsFree } from '../../lib/players';
import {
  type Answer,
  type Band,
  type Comment,
  type Extent,
  type Holding,
  type Player,
  samePlace,
  whoseWord,
  wordOnLettingGo,
  wordOnProposal,
} from '../../lib/song';
import { type Space, tickOfPlace } from '../../lib/spaces';
import { Agreeing } from './Agreeing';
import { AtOnce } from './AtOnce';
import { Comments } from './Comments';
import { SpaceDetail, type WithoutNotes } from './SpaceDetail';
import { useAsking } from './useAsking';
import type { Facts } from './useFacts';

export interface OpenSpaceProps {
  readonly space: Space;
  readonly arrangement: Arrangement;
  readonly band: Band;
  readonly facts: Facts;
  /** Null while nothing can be written. */
  readonly edits: SongEdits | null;
  readonly bandEdits: BandEdits | null;
  /** The player at this page; null: a listener, or not said. */
  readonly you: string | null;
  /** What was settled at the same time as what stands. */
  readonly atOnce: readonly Answer[];
  /** What is said of the space. */
  readonly said: readonly Comment[];
  readonly close: () => void;
}

/** What opens beneath a space's line: all that can be settled, put and said there, and by whose word. */
export function OpenSpace({
  space,
  arrangement,
  band,
  facts,
  edits,
  bandEdits,
  you,
  atOnce,
  said,
  close,
}: OpenSpaceProps) {
  const standing = arrangement.bySpace.get(space.id) ?? null;
  const holding = standing?.answer.holding ?? null;
  const asking = useAsking(you);
  const extentOf = (one: Space): Extent => {
    const origin = tickOfPlace(arrangement.timeline, one.place) ?? 0;
    return { from: one.startTick - origin, to: one.endTick - origin };
  };
  // Who is given a whole pass has its break.
  const hold = (one: Space, extent: Extent, given: Exclude<Holding, { kind: 'left open' }>) =>
    one.kind === 'instrumental'
      ? edits?.settleBreak(one.place, extent, given)
      : edits?.settle(one.place, extent, given);
  const settleFill = (one: Space, player: Player, offer: Pick<Offer, 'family' | 'notes'>) => {
    const { fill, extent } = fillOf(offer, one);
    hold(one, extent, { kind: 'fill', playerId: player.id, fill });
  };
  const settlePut = (answer: Answer) =>
    asking.withWord(
      wordOnProposal(band, arrangement.song, holding, answer),
      () => edits?.settleProposal(answer.id, space.kind === 'instrumental'),
      null,
    );
  // What one has put forward already is not put a second time.
  const proposeWithoutNotes = (one: Space, given: WithoutNotes) => {
    const isPut = arrangement.song.proposals.some(
      ({ place, by, holding: other }) =>
        by === you && samePlace(place, one.place) && JSON.stringify(other) === JSON.stringify(given),
    );
    if (!isPut) edits?.propose(one.place, extentOf(one), given);
  };
  const letGo = (answer: Answer) =>
    standing &&
    asking.withWord(
      wordOnLettingGo(band, standing.answer, answer),
      () => edits?.withdrawProposal(answer.id),
      null,
    );
  return (
    <SpaceDetail
      arrangement={arrangement}
      space={space}
      standing={standing}
      players={band.players}
      freedoms={whoIsFree(space, facts.context)}
      mayEdit={edits !== null}
      you={you}
      instrumentOf={facts.instrumentOf}
      figures={band.figures}
      addFigure={bandEdits && ((figure) => bandEdits.addFigure(figure))}
      settleFill={settleFill}
      settleAdLib={(one, player) => hold(one, extentOf(one), { kind: 'ad lib', playerId: player.id })}
      leaveOpen={(one) => edits?.settle(one.place, extentOf(one), { kind: 'left open' })}
      clear={(one) => edits?.unsettle(arrangement.bySpace.get(one.id)?.answer.place ?? one.place)}
      close={close}
      agreeing={
        <Agreeing
          arrangement={arrangement}
          band={band}
          space={space}
          here={facts.peersAt(space.id).map(({ name }) => name)}
          you={you}
          edits={edits}
          atOnce={atOnce}
          settle={settlePut}
          isAsked={asking.isAsked}
        />
      }
      comments={<Comments said={said} place={space.place} what="it" band={band} you={you} edits={edits} />}
      propose={
        edits &&
        ((one, player, offer) => {
          const { fill, extent } = fillOf(offer, one);
          edits.propose(one.place, extent, { kind: 'fill', playerId: player.id, fill });
        })
      }
      proposeWithoutNotes={edits && proposeWithoutNotes}
      wordOn={(playerId) => whoseWord(band, holding, playerId === null ? null : { kind: 'ad lib', playerId })}
      asking={asking}
      atOnce={
        <AtOnce
          atOnce={atOnce}
          players={band.players}
          standing={standing?.answer ?? null}
          take={edits && settlePut}
          letGo={edits && letGo}
        />
      }
      trouble={facts.troubleOf(space.id)}
      breaker={space.kind === 'instrumental' ? (facts.breakOf(space.place.passId)?.name ?? null) : null}
    />
  );
}
