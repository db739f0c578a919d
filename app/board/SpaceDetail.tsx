'use client';

import { type ReactNode, useEffect, useId, useRef, useState } from 'react';
import type { Offer } from '../../lib/fills';
import type { InstrumentName } from '../../lib/instruments';
import {
  type Arrangement,
  barsInWords,
  beatsInWords,
  chordsInWords,
  cuesOf,
  placeInWords,
  type Standing,
  secondsInWords,
  settingOf,
  shapesKey,
} from '../../lib/parts';
import type { Freedom } from '../../lib/players';
import type { Player } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import { transposeChord } from '../../lib/theory';
import { useKeys } from '../hooks/useKeys';
import { Button } from '../ui/Button';
import { inkOf } from '../ui/Initials';
import { Ideas } from './Ideas';
import { useOffers } from './useOffers';

export interface SpaceDetailProps {
  readonly arrangement: Arrangement;
  readonly space: Space;
  readonly standing: Standing | null;
  readonly players: readonly Player[];
  readonly freedoms: readonly Freedom[];
  readonly mayEdit: boolean;
  /** The player at this page, who is looked at first where free. */
  readonly you: string | null;
  readonly instrumentOf: (playerId: string) => InstrumentName;
  readonly settleFill: (space: Space, player: Player, offer: Offer) => void;
  readonly settleAdLib: (space: Space, player: Player) => void;
  readonly leaveOpen: (space: Space) => void;
  readonly clear: (space: Space) => void;
  readonly close: () => void;
  /** What else was settled here at the same time. */
  readonly atOnce: ReactNode;
  /** Why what is settled here no longer fits; null: it does. */
  readonly trouble: string | null;
  /** Who has the break of an instrumental pass, by name; null: nobody, or the pass is sung. */
  readonly breaker: string | null;
}

/** How many ideas are worked out, one for each figure key, and how many of them are shown at first. */
const COUNT = 9;
const FIRST = 4;

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
  const chosen =
    players.find((player) => player.id === (chosenId ?? holderId)) ??
    free.find((player) => player.id === props.you) ??
    free[0] ??
    null;
  const isFree = chosen !== null && (chosen.id === holderId || free.includes(chosen));
  const setting = chosen ? settingOf(arrangement.song, chosen) : null;
  const stretch = freedoms.find((one) => one.playerId === chosen?.id)?.stretch ?? space;
  const offers = useOffers(arrangement.song, space, stretch, isFree ? chosen : null, setting, COUNT);
  const found = offers?.ok ? offers.value : [];
  const shown = isAll ? found : found.slice(0, FIRST);

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
  const settle = (index: number) => {
    const offer = shown[index];
    if (mayEdit && chosen && offer) props.settleFill(space, chosen, offer);
  };
  const digits = Object.fromEntries(
    Array.from({ length: 9 }, (_, i) => [String(i + 1), () => settle(i)] as const),
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
      <div className="detail-columns">
        <div>
          <Ideas
            chosen={isFree ? chosen : null}
            offers={offers}
            shown={shown}
            mayEdit={mayEdit}
            instrument={chosen ? props.instrumentOf(chosen.id) : 'guitar'}
            chordName={chosen ? shapeNames(arrangement, chosen) : (symbol) => symbol}
            arrangement={arrangement}
            settle={settle}
          />
          {found.length > shown.length && (
            <Button shortcut="m" onPress={() => setAll(true)}>
              More ideas
            </Button>
          )}
        </div>
        <div>
          <h4 className="detail-heading">Who can take it</h4>
          <ul>
            {freeFirst(freedoms).map((freedom) => {
              const player = players.find((one) => one.id === freedom.playerId);
              if (!player) return null;
              return (
                <li key={player.id}>
                  <WhoButton
                    player={player}
                    freedom={freedom}
                    isChosen={player.id === chosen?.id && isFree}
                    holds={player.id === holderId}
                    choose={() => setChosenId(player.id)}
                  />
                </li>
              );
            })}
          </ul>
          {mayEdit && (
            <div className="detail-actions">
              {isFree && chosen && (
                <Button shortcut="a" onPress={() => props.settleAdLib(space, chosen)}>
                  {chosen.name}’s, ad lib
                </Button>
              )}
              <Button shortcut="o" onPress={() => props.leaveOpen(space)}>
                Leave it open
              </Button>
              {standing && (
                <Button shortcut="x" onPress={() => props.clear(space)}>
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

/** Chords as the shapes that a player with a capo plays. */
function shapeNames(arrangement: Arrangement, player: Player): (symbol: string) => string {
  const { capo } = settingOf(arrangement.song, player);
  const key = shapesKey(arrangement.song.key, capo);
  return (symbol) => (capo === 0 ? symbol : transposeChord(symbol, -capo, key));
}

const freeFirst = (freedoms: readonly Freedom[]): readonly Freedom[] => [
  ...freedoms.filter((one) => one.free),
  ...freedoms.filter((one) => !one.free),
];

function headline(arrangement: Arrangement, space: Space): string {
  const lastBar = arrangement.timeline.barAt(Math.max(space.startTick, space.endTick - 1)).number;
  const place = placeInWords(space, cuesOf(arrangement, space).before);
  return `${place}: ${barsInWords(space.bar, lastBar)}, ${beatsInWords(space.beats)} ${chordsInWords(
    space.chords.map((chord) => chord.symbol),
  )} (${secondsInWords(space.seconds)})`;
}

function state(
  standing: Standing | null,
  players: readonly Player[],
  breaker: string | null,
  trouble: string | null,
): string {
  if (!standing) return breaker === null ? 'Nobody has it yet.' : `${breaker} has the break.`;
  const { holding } = standing.answer;
  if (holding.kind === 'left open') return 'The band has left it open.';
  const name = players.find((player) => player.id === holding.playerId)?.name ?? 'somebody who has left';
  if (trouble !== null) {
    return `${name} has it, but it no longer fits: ${trouble}. It is kept as it is, and another can be settled.`;
  }
  if (holding.kind === 'ad lib') return `${name} has it, ad lib.`;
  return `${name} has it: the settled fill stands in the line above.`;
}

function WhoButton({
  player,
  freedom,
  isChosen,
  holds,
  choose,
}: {
  readonly player: Player;
  readonly freedom: Freedom;
  readonly isChosen: boolean;
  readonly holds: boolean;
  readonly choose: () => void;
}) {
  const reasons = freedom.reasons.map((reason) => reason.detail).filter((detail) => detail !== '');
  const can = holds ? `${player.name} has it` : freedom.free ? `${player.name} can` : `${player.name} can’t`;
  const text = reasons.length > 0 ? `${can}: ${reasons.join('; ')}` : can;
  if (!freedom.free && !holds) return <p className="who who-not">{text}</p>;
  return (
    <button type="button" className="who" data-player={player.id} aria-pressed={isChosen} onClick={choose}>
      <span className="who-initials" style={{ color: inkOf(player.ink) }} aria-hidden="true">
        {player.initials}
      </span>
      <span>{text}</span>
    </button>
  );
}
