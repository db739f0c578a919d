'use client';

import { useEffect, useState } from 'react';
import type { Result } from '../../lib/base';
import type { Offer } from '../../lib/fills';
import type { InstrumentName } from '../../lib/instruments';
import { type Arrangement, fillDrawing, readsNotation, roomBefore, rulerDrawing } from '../../lib/parts';
import type { Player } from '../../lib/song';
import { beatTicks } from '../../lib/time';
import { Button } from '../ui/Button';
import { ProblemNotice, sentence } from '../ui/Notice';
import { Painter } from './Painter';

interface IdeasProps {
  /** Null: nobody is free. */
  readonly chosen: Player | null;
  /** Null: being worked out. */
  readonly offers: Result<readonly Offer[]> | null;
  readonly shown: readonly Offer[];
  readonly mayEdit: boolean;
  readonly arrangement: Arrangement;
  readonly instrument: InstrumentName;
  /** From a chord as sounded to the shape that the player plays. */
  readonly chordName: (symbol: string) => string;
  readonly settle: (index: number) => void;
}

/** Ideas one under another, each in tablature or notation with a sentence of reasons, each settled by one key. */
export function Ideas({ chosen, offers, shown, ...rest }: IdeasProps) {
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
            {...rest}
            settle={() => rest.settle(i)}
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

function Idea({
  offer,
  index,
  mayEdit,
  arrangement,
  instrument,
  chordName,
  settle,
}: {
  readonly offer: Offer;
  readonly index: number;
  readonly mayEdit: boolean;
  readonly arrangement: Arrangement;
  readonly instrument: InstrumentName;
  readonly chordName: (symbol: string) => string;
  readonly settle: () => void;
}) {
  const { timeline, song } = arrangement;
  const pixelsPerTick = Math.max(arrangement.pixelsPerTick, LEAST);
  const first = offer.notes[0];
  const last = offer.notes[offer.notes.length - 1];
  const startTick = first?.tick ?? 0;
  const endTick = last ? last.tick + Math.max(last.ticks, 20 / pixelsPerTick) : 0;
  const xOf = (tick: number) => (tick - startTick) * pixelsPerTick;
  const width = xOf(endTick);
  const bar = timeline.barAt(startTick);
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
        <p className="aside">{sentence(reasons.slice(0, 4).join('; '))}</p>
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
          style={{ width: width + before + 8, height: TAB.height }}
          className="relative"
          role="img"
          aria-label={notesInWords(offer, instrument)}
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
                key: song.key,
                barTick: bar.startTick,
                beatTicks: beatTicks(bar.bar.meter),
                numberSize: TAB.size,
                begins: true,
              }),
            ]}
          />
        </div>
      </div>
    </li>
  );
}

/** The notes for who hears the page: string and fret of each, with its stroke. */
function notesInWords(offer: Offer, instrument: InstrumentName): string {
  const notes = offer.notes.map((note) => {
    const how = note.stroke ?? (note.articulation === 'struck' ? '' : note.articulation);
    return `string ${note.string} ${note.fret === 0 ? 'open' : `fret ${note.fret}`}${how ? ` ${how}` : ''}`;
  });
  return `${readsNotation(instrument) ? 'Notation' : 'Tablature'}: ${notes.join(', ')}`;
}
