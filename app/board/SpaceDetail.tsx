'use client';

import { type ReactNode, useEffect, useId, useMemo, useRef, useState } from 'react';
import { ok, type Result } from '../../lib/base';
import type { Offer } from '../../lib/fills';
import type { InstrumentName } from '../../lib/instruments';
import { type Arrangement, type Standing as Settled, settingOf } from '../../lib/parts';
import type { Freedom } from '../../lib/players';
import type { Figure, Holding, Player, Word } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import { useKeys } from '../hooks/useKeys';
import { Button } from '../ui/Button';
import type { Standing } from '../workers/offers';
import { headline, shapeNames, state } from './detail-words';
import { FillEditor } from './fill-edit/FillEditor';
import { Ideas } from './Ideas';
import { KeepFigure } from './KeepFigure';
import type { Asking } from './useAsking';
import { useOffers, useSeat, useSounding } from './useOffers';
import { useTurns } from './useTurns';
import { WhoCan } from './WhoCan';
import './fill-edit/fill-edit.css';

/** What can be held without a note written: as the player likes, or silence. */
export type WithoutNotes = Exclude<Holding, { readonly kind: 'fill' }>;

export interface SpaceDetailProps {
  readonly arrangement: Arrangement;
  readonly space: Space;
  readonly standing: Settled | null;
  readonly players: readonly Player[];
  readonly freedoms: readonly Freedom[];
  readonly mayEdit: boolean;
  /** The player at this page, who is looked at first where free. */
  readonly you: string | null;
  readonly instrumentOf: (playerId: string) => InstrumentName;
  /** The band's figures; each player's own are among their ideas. */
  readonly figures: readonly Figure[];
  /** Null: nothing of the band can be written now. */
  readonly addFigure: ((figure: Omit<Figure, 'id'>) => Result<string>) | null;
  readonly settleFill: (space: Space, player: Player, fill: Standing) => void;
  readonly settleAdLib: (space: Space, player: Player) => void;
  readonly leaveOpen: (space: Space) => void;
  readonly clear: (space: Space) => void;
  readonly close: () => void;
  /** What else was settled here at the same time. */
  readonly atOnce: ReactNode;
  /** What was put to the band here. */
  readonly agreeing: ReactNode;
  /** What is said about it. */
  readonly comments: ReactNode;
  /** Null: nothing can be written now. */
  readonly propose: ((space: Space, player: Player, fill: Standing) => void) | null;
  readonly proposeWithoutNotes: ((space: Space, holding: WithoutNotes) => void) | null;
  /** Whose word it is to give the space to a player; null: to nobody. */
  readonly wordOn: (playerId: string | null) => Word;
  readonly asking: Asking;
  /** Why what is settled here no longer fits; null: it does. */
  readonly trouble: string | null;
  /** Who has the break of an instrumental pass, by name; null: nobody, or the pass is sung. */
  readonly breaker: string | null;
}

/** How many ideas are worked out, one for each figure key, and how many of them are shown at first. */
const COUNT = 9;
const FIRST = 4;
const NONE: readonly Offer[] = [];

/** A space opened beneath its line: how long it is, who can take it, and ideas to read and settle. */
export function SpaceDetail(props: SpaceDetailProps) {
  const { arrangement, space, standing, players, freedoms, mayEdit } = props;
  const headingId = useId();
  const root = useRef<HTMLElement>(null);
  // What was asked for comes into sight together with the words that it hangs on; else nothing moves.
  useEffect(() => {
    const detail = root.current;
    if (!detail || detail.getBoundingClientRect().bottom <= window.innerHeight) return;
    document
      .querySelector(`[data-space="${CSS.escape(space.id)}"]`)
      ?.closest('.segment')
      ?.scrollIntoView({ block: 'start' });
  }, [space.id]);
  const free = players.filter((player) => freedoms.some((one) => one.free && one.playerId === player.id));
  const holding = standing?.answer.holding ?? null;
  const holderId = holding && holding.kind !== 'left open' ? holding.playerId : null;
  const [chosenId, setChosenId] = useState<string | null>(null);
  const [isAll, setAll] = useState(false);
  // Ideas stay under one's hands: a figure that is kept meanwhile is among them when a space is opened next.
  const [figures] = useState(props.figures);
  const chosen =
    players.find((player) => player.id === (chosenId ?? holderId)) ??
    free.find((player) => player.id === props.you) ??
    free[0] ??
    null;
  const isFree = chosen !== null && (chosen.id === holderId || free.includes(chosen));
  const setting = chosen ? settingOf(arrangement.song, chosen) : null;
  const stretch = freedoms.find((one) => one.playerId === chosen?.id)?.stretch ?? space;
  const sounding = useSounding(arrangement, space);
  const chordName = useMemo(
    () => (chosen ? shapeNames(sounding, chosen) : (symbol: string) => symbol),
    [sounding, chosen],
  );
  const seated = useSeat(sounding.song, space, stretch, isFree ? chosen : null, setting, figures);
  const offers = useOffers(sounding.song, seated, COUNT);
  const turns = useTurns(offers?.ok ? offers.value : NONE, seated);
  const count = isAll ? turns.ideas.length : FIRST;
  const [isEditing, setEditing] = useState(false);
  const [openAt, setOpenAt] = useState<number | null>(null);
  const standingFill = holding?.kind === 'fill' && chosen?.id === holderId && standing ? standing : null;
  const fill =
    standingFill && holding?.kind === 'fill'
      ? { family: holding.fill.family, notes: standingFill.notes }
      : null;

  const step = (by: number) => {
    const ring = players.filter((player) => player.id === holderId || free.includes(player));
    if (ring.length === 0) return;
    const at = ring.findIndex((player) => player.id === chosen?.id);
    const next = ring[(at + by + ring.length) % ring.length]?.id ?? null;
    setChosenId(next);
    // Who was on a button of the ideas before stays in the detail when these ideas go.
    if (next && root.current?.contains(document.activeElement)) {
      root.current.querySelector<HTMLElement>(`[data-player="${CSS.escape(next)}"]`)?.focus();
    }
  };
  const { propose, asking } = props;
  const withWord = (playerId: string | null, act: () => void, put: (() => void) | null) =>
    asking.withWord(props.wordOn(playerId), act, put);
  const put = propose && chosen ? (fill: Standing) => propose(space, chosen, fill) : null;
  const { proposeWithoutNotes } = props;
  const putAdLib =
    proposeWithoutNotes && isFree && chosen
      ? () => proposeWithoutNotes(space, { kind: 'ad lib', playerId: chosen.id })
      : null;
  const putOpen = proposeWithoutNotes && (() => proposeWithoutNotes(space, { kind: 'left open' }));
  const settle = (fill: Standing | undefined) => {
    if (!mayEdit || !chosen || !fill) return;
    const settleIt = () => {
      setEditing(false);
      setOpenAt(null);
      props.settleFill(space, chosen, fill);
    };
    withWord(chosen.id, settleIt, put && (() => put(fill)));
  };
  const { addFigure } = props;
  const keepFigure =
    addFigure && seated && chosen && chosen.id === props.you
      ? async (kept: Standing, name: string): Promise<Result<string>> => {
          const whose = { playerId: chosen.id, name };
          const answer = await seated.desk.ask(seated.seat, { kind: 'figure', fill: kept, whose });
          if (answer?.kind !== 'figure') return ok('');
          return answer.figure.ok ? addFigure(answer.figure.value) : answer.figure;
        }
      : null;
  const digits = Object.fromEntries(
    Array.from(
      { length: 9 },
      (_, i) => [String(i + 1), () => settle(turns.ideas.slice(0, count)[i])] as const,
    ),
  );
  const ways = Object.fromEntries([
    ['ArrowLeft', () => step(-1)],
    ['ArrowRight', () => step(1)],
  ]);
  useKeys({ ...digits, ...ways });

  return (
    <section ref={root} className="detail no-print" aria-labelledby={headingId}>
      <h3 id={headingId}>{headline(arrangement, space)}</h3>
      <p className="aside">{state(standing, players, props.breaker, props.trouble)}</p>
      {props.atOnce}
      {asking.question}
      {props.agreeing}
      <div className="detail-columns">
        <div>
          {mayEdit && fill && seated && (
            <div className="turns">
              <Button shortcut="w" expanded={isEditing} onPress={() => setEditing(!isEditing)}>
                Change the settled fill
              </Button>
              {keepFigure && <KeepFigure fill={fill} keep={keepFigure} hasKey={false} />}
            </div>
          )}
          {isEditing && fill && seated && chosen && (
            <FillEditor
              fill={fill}
              seated={seated}
              arrangement={arrangement}
              instrument={props.instrumentOf(chosen.id)}
              chordName={shapeNames(arrangement, chosen)}
              keep={settle}
              close={() => setEditing(false)}
            />
          )}
          <Ideas
            chosen={isFree ? chosen : null}
            offers={offers}
            turns={turns}
            count={count}
            openAt={openAt}
            open={setOpenAt}
            mayEdit={mayEdit}
            seated={seated}
            instrument={chosen ? props.instrumentOf(chosen.id) : 'guitar'}
            chordName={chordName}
            arrangement={sounding}
            settle={settle}
            propose={put}
            isAsked={asking.isAsked}
            keepFigure={keepFigure}
          />
          {turns.ideas.length > count && (
            <Button shortcut="m" onPress={() => setAll(true)}>
              More ideas
            </Button>
          )}
          {props.comments}
        </div>
        <div>
          <h4 className="detail-heading">Who can take it</h4>
          <WhoCan
            players={players}
            freedoms={freedoms}
            chosenId={isFree ? chosen.id : null}
            holderId={holderId}
            choose={setChosenId}
          />
          {mayEdit && (
            <div className="detail-actions">
              {isFree && chosen && (
                <Button
                  shortcut="a"
                  onPress={() => withWord(chosen.id, () => props.settleAdLib(space, chosen), putAdLib)}
                >
                  {chosen.name}’s, ad lib
                </Button>
              )}
              {putAdLib && chosen && (
                <Button shortcut="(" label={`Put to the band: ${chosen.name}, ad lib`} onPress={putAdLib}>
                  Put to the band: ad lib
                </Button>
              )}
              <Button shortcut="o" onPress={() => withWord(null, () => props.leaveOpen(space), putOpen)}>
                Leave it open
              </Button>
              {putOpen && (
                <Button shortcut=")" onPress={putOpen}>
                  Put to the band: left open
                </Button>
              )}
              {standing && (
                <Button shortcut="x" onPress={() => withWord(null, () => props.clear(space), null)}>
                  Clear it
                </Button>
              )}
            </div>
          )}
          <div className="detail-actions">
            <Button shortcut="Escape" onPress={props.close}>
              Close
            </Button>
          </div>
        </div>
      </div>
    </section>
  );
}
