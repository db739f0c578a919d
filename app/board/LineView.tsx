import type { CSSProperties, ReactNode } from 'react';
import type { Line } from '../../lib/parts';
import { syllablePlaces } from '../../lib/parts';
import { type SegmentProps, SegmentView } from './SegmentView';

export interface LineProps extends Omit<SegmentProps, 'segment' | 'wordsFrom' | 'closes'> {
  readonly line: Line;
  /** Room to the left in pixels, in which pickups hang. */
  readonly hang: number;
  readonly barNumbers: boolean;
}

/** One sung line along its beats. It may break between bars where the page is narrow; pickups hang out to the left. */
export function LineView({ line, hang, barNumbers, ...rest }: LineProps) {
  const { pixelsPerTick: scale, geometry } = rest;
  let from = Number.NEGATIVE_INFINITY;
  const segments: ReactNode[] = [];
  line.segments.forEach((segment, i) => {
    const wordsFrom = from;
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
  const indent = Math.max(0, hang - line.pickupTicks * scale);
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

function chordsInLine(line: Line, chordName: (symbol: string) => string): string {
  const names = line.segments.flatMap((segment) => segment.chords.map((chord) => chordName(chord.symbol)));
  return names.length === 0 ? '' : `Chords: ${names.join(', ')}.`;
}
