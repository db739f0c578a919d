import type { InstrumentName } from '../../instruments';
import type { FillNote, PlacedBar, Timeline } from '../../song';
import type { Key } from '../../theory';
import { beatTicks, type Ticks } from '../../time';
import type { Drawing } from '../drawing';
import { fillDrawing, roomBefore } from '../fill-drawing';
import { rulerDrawing } from '../ruler';
import { moved } from '../sheet/text';

/** A row of whole bars with what is played in them. */
export interface NotesRow {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly drawing: Drawing;
  readonly width: number;
  readonly height: number;
}

export interface NotesRowsLook {
  readonly instrument: InstrumentName;
  readonly key: Key;
  readonly width: number;
  /** From a chord as sounded to the name that the player reads. */
  readonly chordName: (symbol: string) => string;
}

const ROW = {
  chordBase: 14,
  chordSize: 15,
  top: 40,
  bottom: 88,
  tickTop: 96,
  size: 13,
  height: 108,
} as const;
/** Eighths can be told apart at this many pixels to a beat of a quarter. */
const LEAST_PIXELS_PER_TICK = 46 / 960;
const MOST_PIXELS_PER_TICK = 80 / 960;

/** Bars one after another in rows of a width, none torn: as many to a row as eighths stay apart in, all rows to one scale. */
export function notesRows(
  timeline: Timeline,
  notes: readonly FillNote[],
  bars: readonly PlacedBar[],
  look: NotesRowsLook,
): readonly NotesRow[] {
  const before = roomBefore({ instrument: look.instrument, key: look.key, top: ROW.top, bottom: ROW.bottom });
  const room = look.width - before - 4;
  const longest = Math.max(1, ...bars.map((bar) => bar.endTick - bar.startTick));
  const count = Math.max(1, Math.floor(room / (longest * LEAST_PIXELS_PER_TICK)));
  // Four bars make a line of a song: where more go, whole lines do.
  const each = count > 4 ? count - (count % 4) : count;
  // Bars that are shorter (a pickup, what one leaves at the end) stand with their neighbours.
  const groups: PlacedBar[][] = [[]];
  for (const bar of bars) {
    const row = groups[groups.length - 1];
    const isShort = bar.endTick - bar.startTick < longest;
    const whole = row?.filter((one) => one.endTick - one.startTick === longest).length ?? 0;
    if (row && (whole < each || (isShort && whole === each))) row.push(bar);
    else groups.push([bar]);
  }
  const ticksIn = (row: readonly PlacedBar[]) =>
    (row[row.length - 1]?.endTick ?? 0) - (row[0]?.startTick ?? 0);
  const scale = Math.min(room / Math.max(1, ...groups.map(ticksIn)), MOST_PIXELS_PER_TICK);
  return groups.map((row) => rowOf(timeline, notes, row, scale, before, look));
}

function rowOf(
  timeline: Timeline,
  notes: readonly FillNote[],
  bars: readonly PlacedBar[],
  scale: number,
  before: number,
  { instrument, key, chordName }: NotesRowsLook,
): NotesRow {
  const startTick = bars[0]?.startTick ?? 0;
  const endTick = bars[bars.length - 1]?.endTick ?? startTick;
  const xOf = (tick: Ticks) => before + (tick - startTick) * scale;
  const drawing: Drawing = [
    ...barNumber(timeline, bars[0], before),
    ...rulerDrawing(timeline, { startTick, endTick, xOf, chordName, ...ROW }),
    // Bar by bar, so that no beam goes over a barline; the clef stands once.
    ...bars.flatMap((bar, i): Drawing => {
      const left = xOf(bar.startTick);
      const piece = fillDrawing(notes, {
        instrument,
        startTick: bar.startTick,
        endTick: bar.endTick,
        xOf: (tick) => xOf(tick) - left,
        key,
        barTick: bar.startTick,
        beatTicks: beatTicks(bar.bar.meter),
        top: ROW.top,
        bottom: ROW.bottom,
        numberSize: ROW.size,
        begins: i === 0,
      });
      return moved(piece, left, 0);
    }),
  ];
  return { startTick, endTick, drawing, width: xOf(endTick) + 4, height: ROW.height };
}

/** The number of the bar that a row begins with, under its barline. */
function barNumber(timeline: Timeline, bar: PlacedBar | undefined, x: number): Drawing {
  if (bar === undefined || bar.bar.pickup || timeline.barAt(bar.startTick).startTick < bar.startTick)
    return [];
  return [
    {
      kind: 'text',
      x: x + 3,
      y: ROW.tickTop + 11,
      text: String(bar.number),
      size: 11,
      anchor: 'start',
      face: 'plain',
      tone: 'quiet',
      clear: 0,
    },
  ];
}
