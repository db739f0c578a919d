'use client';

import type { InstrumentName } from '../../lib/instruments';
import { type Arrangement, notesRows } from '../../lib/parts';
import type { FillNote } from '../../lib/song';
import { beatTicks } from '../../lib/time';
import { useWidth } from '../hooks/useWidth';
import { Painter } from './Painter';

/** Notes that go over many bars, in rows of whole bars as wide as there is room. */
export function NotesRows({
  arrangement,
  notes,
  startTick,
  endTick,
  instrument,
  chordName,
  label,
}: {
  readonly arrangement: Arrangement;
  readonly notes: readonly FillNote[];
  /** The stretch whose bars are drawn, from the beat in which it begins to the end of the bar in which it ends. */
  readonly startTick: number;
  readonly endTick: number;
  readonly instrument: InstrumentName;
  readonly chordName: (symbol: string) => string;
  /** What a row is called, from its first and last bar. */
  readonly label: (firstBar: number, lastBar: number, notes: readonly FillNote[]) => string;
}) {
  const { ref, width } = useWidth<HTMLDivElement>();
  const { timeline, song } = arrangement;
  const touched = timeline.bars.filter((bar) => bar.endTick > startTick && bar.startTick < endTick);
  // What begins late in a bar (a break's pickup, mostly) has the bar's last beats alone.
  const bars = touched.map((bar) => {
    const beat = beatTicks(bar.bar.meter);
    const beats = Math.floor(Math.max(0, startTick - bar.startTick) / beat);
    return { ...bar, startTick: bar.startTick + beats * beat };
  });
  const rows = notesRows(timeline, notes, bars, { instrument, key: song.key, width, chordName });
  return (
    <div ref={ref} className="notes-rows">
      {rows.map((row) => (
        <div
          key={row.startTick}
          className="relative"
          style={{ width: row.width, height: row.height }}
          role="img"
          aria-label={label(
            timeline.barAt(row.startTick).number,
            timeline.barAt(row.endTick - 1).number,
            notes.filter(({ tick }) => tick >= row.startTick && tick < row.endTick),
          )}
        >
          <Painter drawing={row.drawing} left={0} top={0} width={row.width} height={row.height} />
        </div>
      ))}
    </div>
  );
}
