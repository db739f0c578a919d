'use client';

import type { InstrumentName } from '../../lib/instruments';
import { type Arrangement, notesRows } from '../../lib/parts';
import type { FillNote } from '../../lib/song';
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
  /** The stretch whose bars are drawn; a bar that it only touches is drawn whole. */
  readonly startTick: number;
  readonly endTick: number;
  readonly instrument: InstrumentName;
  readonly chordName: (symbol: string) => string;
  /** What a row is called, from its first and last bar. */
  readonly label: (firstBar: number, lastBar: number, notes: readonly FillNote[]) => string;
}) {
  const { ref, width } = useWidth<HTMLDivElement>();
  const { timeline, song } = arrangement;
  const bars = timeline.bars.filter((bar) => bar.endTick > startTick && bar.startTick < endTick);
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
