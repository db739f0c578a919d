'use client';

import { useEffect, useState } from 'react';
import type { Result } from '../../lib/base';
import { asksForCare, type Offer } from '../../lib/fills';
import type { InstrumentName } from '../../lib/instruments';
import { type Arrangement, fillDrawing, roomBefore, rulerDrawing } from '../../lib/parts';
import type { Player } from '../../lib/song';
import { beatTicks } from '../../lib/time';
import { Button } from '../ui/Button';
import { ProblemNotice, sentence } from '../ui/Notice';
import type { Standing } from '../workers/offers';
import { Care } from './Care';
import { IdeaTurns } from './IdeaTurns';
import { NotesRows } from './NotesRows';
import { Painter } from './Painter';
import { notesInWords } from './said-words';
import type { Seated } from './useOffers';
import type { Turns } from './useTurns';

interface IdeasProps {
  /** Null: nobody is free. */
  readonly chosen: Player | null;
  /** Null: being worked out. */
  readonly offers: Result<readonly Offer[]> | null;
  readonly turns: Turns;
  /** How many of them are shown. */
  readonly count: number;
  /** Which of them is being changed; null: none. */
  readonly openAt: number | null;
  readonly open: (at: number | null) => void;
  readonly mayEdit: boolean;
  /** Null: nobody to work for. */
  readonly seated: Seated | null;
  readonly arrangement: Arrangement;
  readonly instrument: InstrumentName;
  /** From a chord as sounded to the shape that the player plays. */
  readonly chordName: (symbol: string) => string;
  readonly settle: (fill: Standing) => void;
  /** Puts an idea forward, for the band to say; null: nothing can be written now. */
  readonly propose: ((fill: Standing) => void) | null;
  /** While it is asked whose word it is: the key of putting is the question's. */
  readonly isAsked: boolean;
  /** Keeps a fill as a figure of one's own; null: it is another's idea. */
  readonly keepFigure: ((fill: Standing, name: string) => Promise<Result<string>>) | null;
}

/** Ideas one under another, each in tablature or notation with a sentence of reasons, each settled by one key. */
export function Ideas({ chosen, offers, turns, count, openAt, open, ...rest }: IdeasProps) {
  if (!chosen) return <p>Nobody is free here, for the reasons beside this. It can be left open.</p>;
  if (offers === null) return <Waiting name={chosen.name} />;
  if (!offers.ok) return <ProblemNotice problem={offers.error} />;
  const shown = turns.ideas.slice(0, count);
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
        {turns.said === '' ? `${shown.length} ideas for ${chosen.name}` : turns.said}
      </p>
      <ol className="ideas" aria-label={`Ideas for ${chosen.name}`}>
        {shown.map((offer, i) => (
          <Idea
            // biome-ignore lint/suspicious/noArrayIndexKey: an idea keeps its place while it is turned
            key={i}
            offer={offer}
            index={i}
            {...rest}
            turns={turns}
            isOpen={openAt === i}
            isMeant={(openAt ?? 0) === i}
            toggle={() => open(openAt === i ? null : i)}
          />
        ))}
      </ol>
      {shown.some((offer) => asksForCare(offer.reasons)) && <Care />}
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

const TAB = {
  chordBase: 13,
  chordSize: 14,
  top: 42,
  bottom: 90,
  tickTop: 98,
  size: 13,
  height: 106,
} as const;
/** Ideas are drawn no smaller than this many pixels to a tick, so that eighths can be told apart. */
const LEAST = 58 / 960;
/** What is longer than this many ticks (a break) goes in rows of whole bars. */
const LONG = 12 * 960;

interface IdeaProps extends Omit<IdeasProps, 'chosen' | 'offers' | 'count' | 'openAt' | 'open'> {
  readonly offer: Offer;
  readonly index: number;
  readonly isOpen: boolean;
  /** The idea that keys for one idea mean: the one that is being changed, else the first. */
  readonly isMeant: boolean;
  readonly toggle: () => void;
}

function Idea(props: IdeaProps) {
  const { offer, index, mayEdit, arrangement, instrument, chordName, settle } = props;
  const { timeline, song } = arrangement;
  const pixelsPerTick = Math.max(arrangement.pixelsPerTick, LEAST);
  const first = offer.notes[0];
  const last = offer.notes[offer.notes.length - 1];
  const startTick = first?.tick ?? 0;
  const endTick = last ? last.tick + Math.max(last.ticks, 20 / pixelsPerTick) : 0;
  const xOf = (tick: number) => (tick - startTick) * pixelsPerTick;
  const width = xOf(endTick);
  const bar = timeline.barAt(startTick);
  const isLong = endTick - startTick > LONG;
  const frame = { instrument, key: song.key, top: TAB.top, bottom: TAB.bottom };
  const before = roomBefore(frame);
  const reasons = offer.reasons
    .filter((reason) => reason.rule !== 'family' && reason.detail !== '')
    .map((reason) => reason.detail);
  return (
    <li className={isLong ? 'idea idea-long' : 'idea'}>
      <div>
        <p className="idea-title">
          <span className="idea-number" aria-hidden="true">
            {index + 1}
          </span>
          {offer.title}
        </p>
        <p className="aside">{sentence(reasons.slice(0, 4).join('; '))}</p>
        {mayEdit && (
          <div className="turns">
            <Button
              shortcut={String(index + 1)}
              onPress={() => settle(offer)}
              label={`Settle idea ${index + 1}: ${offer.title}`}
            >
              Settle this
            </Button>
            {props.propose && (
              <Button
                {...(props.isMeant && !props.isAsked && { shortcut: 'i' as const })}
                onPress={() => props.propose?.(offer)}
                label={`Put it to the band: idea ${index + 1}`}
              >
                Put it to the band
              </Button>
            )}
            <Button expanded={props.isOpen} onPress={props.toggle} label={`Change it: idea ${index + 1}`}>
              Change it
            </Button>
          </div>
        )}
      </div>
      <div className="idea-tab">
        {isLong ? (
          <NotesRows
            arrangement={arrangement}
            notes={offer.notes}
            startTick={startTick}
            endTick={endTick}
            instrument={instrument}
            chordName={chordName}
            label={(_first, _last, notes) => notesInWords(notes, instrument)}
          />
        ) : (
          <div
            style={{ width: width + before + 8, height: TAB.height }}
            className="relative"
            role="img"
            aria-label={notesInWords(offer.notes, instrument)}
          >
            <Painter
              left={before}
              top={0}
              width={width}
              height={TAB.height}
              drawing={[
                ...rulerDrawing(timeline, { startTick, endTick, xOf, chordName, ...TAB }),
                ...fillDrawing(offer.notes, {
                  ...frame,
                  startTick,
                  endTick,
                  xOf,
                  barTick: bar.startTick,
                  beatTicks: beatTicks(bar.bar.meter),
                  numberSize: TAB.size,
                  begins: true,
                }),
              ]}
            />
          </div>
        )}
      </div>
      {props.isOpen && <IdeaTurns {...props} />}
    </li>
  );
}
