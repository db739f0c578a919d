import type { CSSProperties, ReactNode } from 'react';
import type { Line } from '../../lib/parts';
import { syllablePlaces } from '../../lib/parts';
import { type SegmentProps, SegmentView } from './SegmentView';

export interface LineProps extends Omit<SegmentProps, 'segment' | 'wordsFrom' | 'closes'> {
  readonly line: Line;
  /** Room to the left in pixels, in which pickups hang. */
  readonly hang: number;
  readonly barNumbers: boolean;
  /** Width of the sheet in pixels, where it is known: a line that is wider breaks into rows of about one length. */
  readonly sheetWidth?: number;
}

/** One sung line along its beats. It may break between bars where the page is narrow; pickups hang out to the left. */
export function LineView({ line, hang, barNumbers, sheetWidth, ...rest }: LineProps) {
  const { pixelsPerTick: scale, geometry } = rest;
  const indent = Math.max(0, hang - line.pickupTicks * scale);
  let from = Number.NEGATIVE_INFINITY;
  const segments: ReactNode[] = [];
  const breaks = rowStarts(line, scale, sheetWidth, indent);
  line.segments.forEach((segment, i) => {
    const wordsFrom = breaks.has(i) ? Number.NEGATIVE_INFINITY : from;
    if (breaks.has(i)) segments.push(<span key={`row ${segment.startTick}`} className="row-break" />);
    const { end } = syllablePlaces(segment.syllables, segment.startTick, scale, geometry.wordSize, wordsFrom);
    const width = (segment.endTick - segment.startTick) * scale;
    from = end - width;
    segments.push(
      <SegmentView
        key={segment.startTick}
        segment={segment}
        wordsFrom={wordsFrom}
        closes={i === line.segments.length - 1}
        {...rest}
      />,
    );
  });
  const first = line.segments.find((segment) => segment.startsBar);
  const style: CSSProperties & Record<'--indent', string> = { '--indent': `${Math.round(indent)}px` };
  return (
    <div className="line" style={style} data-line={line.key}>
      <p className="sr-only">
        {first ? `Bar ${first.bar.number}. ` : ''}
        {line.words === '' ? 'No words. ' : `${line.words} `}
        {chordsInLine(line, rest.chordName)}
      </p>
      {barNumbers && first && (
        <span className="bar-number" aria-hidden="true">
          {first.bar.number}
        </span>
      )}
      {segments}
    </div>
  );
}

/** Which segments begin a row on a sheet: as few rows as can be, of about one length. */
function rowStarts(
  line: Line,
  scale: number,
  sheetWidth: number | undefined,
  indent: number,
): ReadonlySet<number> {
  const starts = new Set<number>();
  if (sheetWidth === undefined) return starts;
  const widths = line.segments.map((segment) => (segment.endTick - segment.startTick) * scale);
  const total = widths.reduce((sum, width) => sum + width, 0);
  const room = sheetWidth - indent;
  if (total <= room) return starts;
  const share = total / Math.ceil(total / room);
  let row = 0;
  widths.forEach((width, i) => {
    if (row > 0 && (row + width > room || row + width / 2 > share)) {
      starts.add(i);
      row = 0;
    }
    row += width;
  });
  return starts;
}

function chordsInLine(line: Line, chordName: (symbol: string) => string): string {
  const names = line.segments.flatMap((segment) => segment.chords.map((chord) => chordName(chord.symbol)));
  return names.length === 0 ? '' : `Chords: ${names.join(', ')}.`;
}
