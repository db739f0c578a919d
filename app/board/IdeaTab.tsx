import { memo } from 'react';
import type { Offer } from '../../lib/fills';
import type { InstrumentName } from '../../lib/instruments';
import { type Arrangement, fillDrawing, roomBefore, rulerDrawing } from '../../lib/parts';
import { beatTicks } from '../../lib/time';
import { NotesRows } from './NotesRows';
import { Painter } from './Painter';
import { notesInWords } from './said-words';

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
/** The last note has at least so many pixels. */
const LAST_WIDTH = 20;

interface IdeaTabProps {
  readonly notes: Offer['notes'];
  readonly arrangement: Arrangement;
  readonly instrument: InstrumentName;
  /** From a chord as sounded to the shape that the player plays. */
  readonly chordName: (symbol: string) => string;
}

/** From where to where an idea is drawn, in ticks. */
function extentOf(notes: Offer['notes'], pixelsPerTick: number) {
  const first = notes[0];
  const last = notes[notes.length - 1];
  return {
    startTick: first?.tick ?? 0,
    endTick: last ? last.tick + Math.max(last.ticks, LAST_WIDTH / pixelsPerTick) : 0,
  };
}

const scaleOf = (pixelsPerTick: number): number => Math.max(pixelsPerTick, LEAST);

/** Whether an idea goes in rows of whole bars. */
export function isLong(notes: Offer['notes'], pixelsPerTick: number): boolean {
  const { startTick, endTick } = extentOf(notes, scaleOf(pixelsPerTick));
  return endTick - startTick > LONG;
}

/** An idea in tablature or notation under its chords; drawn anew only once it, or what stands over it, is another. */
export const IdeaTab = memo(function IdeaTab({ notes, arrangement, instrument, chordName }: IdeaTabProps) {
  const { timeline, song } = arrangement;
  const pixelsPerTick = scaleOf(arrangement.pixelsPerTick);
  const { startTick, endTick } = extentOf(notes, pixelsPerTick);
  if (isLong(notes, arrangement.pixelsPerTick))
    return (
      <NotesRows
        {...{ arrangement, notes, startTick, endTick, instrument, chordName }}
        label={(_first, _last, shown) => notesInWords(shown, instrument)}
      />
    );
  const xOf = (tick: number) => (tick - startTick) * pixelsPerTick;
  const width = xOf(endTick);
  const bar = timeline.barAt(startTick);
  const frame = { instrument, key: song.key, top: TAB.top, bottom: TAB.bottom };
  const before = roomBefore(frame);
  return (
    <div
      style={{ width: width + before + 8, height: TAB.height }}
      className="relative"
      role="img"
      aria-label={notesInWords(notes, instrument)}
    >
      <Painter
        left={before}
        top={0}
        width={width}
        height={TAB.height}
        drawing={[
          ...rulerDrawing(timeline, { startTick, endTick, xOf, chordName, ...TAB }),
          ...fillDrawing(notes, {
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
  );
});
