'use client';

import { useEffect, useId, useRef, useState } from 'react';
import type { Offer } from '../../lib/fills';
import type { InstrumentName } from '../../lib/instruments';
import {
  type Arrangement,
  barsInWords,
  beatsInWords,
  chordsInWords,
  cuesOf,
  fillDrawing,
  placeInWords,
  roomBefore,
  type Standing,
  secondsInWords,
  settingOf,
} from '../../lib/parts';
import type { Freedom } from '../../lib/players';
import type { Player } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import { beatTicks } from '../../lib/time';
import { useKeys } from '../hooks/useKeys';
import { Button } from '../ui/Button';
import { inkOf } from '../ui/Initials';
import { ProblemNotice, sentence } from '../ui/Notice';
import { Painter } from './Painter';
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
  // What was asked for comes into sight, and nothing else moves.
  useEffect(() => {
    root.current?.scrollIntoView({ block: 'nearest' });
  }, []);
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
  const offers = useOffers(arrangement.song, space, isFree ? chosen : null, setting, COUNT);
  const found = offers?.ok ? offers.value : [];
  const shown = isAll ? found : found.slice(0, FIRST);

  const step = (by: number) => {
    const ring = players.filter((player) => player.id === holderId || free.includes(player));
    if (ring.length === 0) return;
    const at = ring.findIndex((player) => player.id === chosen?.id);
    setChosenId(ring[(at + by + ring.length) % ring.length]?.id ?? null);
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
      <p className="aside">{state(standing, players, props.breaker)}</p>
      <div className="detail-columns">
        <div>
          <Ideas
            chosen={isFree ? chosen : null}
            offers={offers}
            shown={shown}
            mayEdit={mayEdit}
            instrument={chosen ? props.instrumentOf(chosen.id) : 'guitar'}
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
                  Take the answer back
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

function state(standing: Standing | null, players: readonly Player[], breaker: string | null): string {
  if (!standing) return breaker === null ? 'Nobody has it yet.' : `${breaker} has the break.`;
  const { holding } = standing.answer;
  if (holding.kind === 'left open') return 'The band has left it open.';
  const name = players.find((player) => player.id === holding.playerId)?.name ?? 'somebody who has left';
  if (holding.kind === 'ad lib') return `${name} has it, ad lib.`;
  return standing.fits
    ? `${name} has it: the settled fill stands in the line above.`
    : `${name} has it, but the fill no longer fits: it is kept, and another can be settled.`;
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
    <button type="button" className="who" aria-pressed={isChosen} onClick={choose}>
      <span className="who-initials" style={{ color: inkOf(player.ink) }} aria-hidden="true">
        {player.initials}
      </span>
      <span>{text}</span>
    </button>
  );
}

interface IdeasProps {
  readonly chosen: Player | null;
  readonly offers: ReturnType<typeof useOffers>;
  readonly shown: readonly Offer[];
  readonly mayEdit: boolean;
  readonly arrangement: Arrangement;
  readonly instrument: InstrumentName;
  readonly settle: (index: number) => void;
}

function Ideas({ chosen, offers, shown, mayEdit, arrangement, instrument, settle }: IdeasProps) {
  if (!chosen) return <p>Nobody is free here, for the reasons beside this. It can be left open.</p>;
  if (offers === null) return <Waiting name={chosen.name} />;
  if (!offers.ok) return <ProblemNotice problem={offers.error} />;
  if (shown.length === 0) {
    return (
      <p>
        No idea that {chosen.name} could play here at this tempo. It can be {chosen.name}’s ad lib, or left
        open.
      </p>
    );
  }
  return (
    <>
      <p className="sr-only" role="status">
        {shown.length} ideas for {chosen.name}
      </p>
      <ol className="ideas" aria-label={`Ideas for ${chosen.name}`}>
        {shown.map((offer, i) => (
          <Idea
            key={`${offer.family} ${offer.rank}`}
            offer={offer}
            index={i}
            mayEdit={mayEdit}
            arrangement={arrangement}
            instrument={instrument}
            settle={() => settle(i)}
          />
        ))}
      </ol>
    </>
  );
}

/** Said only when there is something to wait for: offers usually come within a frame or two. */
function Waiting({ name }: { readonly name: string }) {
  const [late, setLate] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setLate(true), 400);
    return () => clearTimeout(timer);
  }, []);
  return <p role="status">{late ? `Working out ideas for ${name} …` : '\u{A0}'}</p>;
}

const TAB = { top: 24, bottom: 70, size: 13, height: 84 } as const;
/** Ideas are drawn no smaller than this many pixels to a tick, so that eighths can be told apart. */
const LEAST = 58 / 960;

function Idea({
  offer,
  index,
  mayEdit,
  arrangement,
  instrument,
  settle,
}: {
  readonly offer: Offer;
  readonly index: number;
  readonly mayEdit: boolean;
  readonly arrangement: Arrangement;
  readonly instrument: InstrumentName;
  readonly settle: () => void;
}) {
  const pixelsPerTick = Math.max(arrangement.pixelsPerTick, LEAST);
  const first = offer.notes[0];
  const last = offer.notes[offer.notes.length - 1];
  const startTick = first?.tick ?? 0;
  const endTick = last ? last.tick + Math.max(last.ticks, 20 / pixelsPerTick) : 0;
  const width = (endTick - startTick) * pixelsPerTick;
  const bar = arrangement.timeline.barAt(startTick);
  const frame = { instrument, top: TAB.top, bottom: TAB.bottom };
  const before = roomBefore(frame);
  const reasons = offer.reasons
    .filter((reason) => reason.rule !== 'family' && reason.detail !== '')
    .map((reason) => reason.detail);
  return (
    <li className="idea">
      <div>
        <p className="idea-title">
          <span className="idea-number" aria-hidden="true">
            {index + 1}
          </span>
          {offer.title}
        </p>
        <p className="aside">{sentence(reasons.slice(0, 5).join('; '))}</p>
        {mayEdit && (
          <Button
            shortcut={String(index + 1)}
            onPress={settle}
            label={`Settle idea ${index + 1}: ${offer.title}`}
          >
            Settle this
          </Button>
        )}
      </div>
      <div className="idea-tab">
        <div
          style={{ width: width + before, height: TAB.height }}
          className="relative"
          role="img"
          aria-label={tabInWords(offer)}
        >
          <Painter
            left={before}
            top={0}
            width={width}
            height={TAB.height}
            drawing={fillDrawing(offer.notes, {
              ...frame,
              startTick,
              endTick,
              pixelsPerTick,
              key: arrangement.song.key,
              barTick: bar.startTick,
              beatTicks: beatTicks(bar.bar.meter),
              numberSize: TAB.size,
              begins: true,
            })}
          />
        </div>
      </div>
    </li>
  );
}

/** Tablature for who hears the page: string and fret of each note, with its stroke. */
function tabInWords(offer: Offer): string {
  const notes = offer.notes.map((note) => {
    const how = note.stroke ?? (note.articulation === 'struck' ? '' : note.articulation);
    return `string ${note.string} ${note.fret === 0 ? 'open' : `fret ${note.fret}`}${how ? ` ${how}` : ''}`;
  });
  return `Tablature: ${notes.join(', ')}`;
}
