import { type CSSProperties, Fragment, memo } from 'react';
import { type Line, notesApart, spacingOf } from '../../lib/parts';
import { chordsAloud } from './chords-aloud';
import { drawsSame } from './draws-same';
import type { LineProps } from './look';
import { Pencil } from './Pencil';
import { SaidMark } from './SaidMark';
import { SegmentView } from './SegmentView';
import { roomForHolder, writtenIn } from './SpaceInLine';
import { saidInWords } from './said-words';

/** One sung line along its beats. It may break between bars where the page is narrow; pickups hang out to the left. */
export const LineView = memo(function LineView({
  line,
  hang,
  barNumbers,
  sheetWidth,
  onWords,
  talk,
  onTalk,
  ...look
}: LineProps) {
  const { geometry, pixelsPerTick, bySpace } = look;
  const spacings = line.segments.map((segment) =>
    spacingOf(
      segment,
      pixelsPerTick,
      geometry.wordSize,
      (id) => roomForHolder(bySpace.get(id), look),
      notesApart(segment, writtenIn(segment, look), geometry.numberSize),
    ),
  );
  const widths = spacings.map((spacing) => spacing.width);
  const indent = Math.max(0, hang - (line.pickupTicks > 0 ? (widths[0] ?? 0) : 0));
  const breaks = rowStarts(widths, sheetWidth, indent);
  const firstBar = line.segments.findIndex((segment) => segment.startsBar && !segment.bar.bar.pickup);
  const width = widths.reduce((sum, each) => sum + each, 0);
  const style: CSSProperties & Record<'--indent' | '--width' | '--height', string> = {
    '--indent': `${Math.round(indent)}px`,
    '--width': `${Math.round(width)}px`,
    '--height': `${geometry.height}px`,
  };
  const number = line.segments[firstBar]?.bar.number ?? null;
  return (
    <div className="line" style={style} data-line={line.key}>
      <p className="sr-only">
        {number === null ? '' : `Bar ${number}. `}
        {line.words === '' ? 'No words. ' : `${line.words} `}
        {chordsAloud(line, look.chordName)}
      </p>
      {line.segments.map((segment, i) => {
        const spacing = spacings[i];
        if (!spacing) return null;
        return (
          <Fragment key={segment.startTick}>
            {breaks.has(i) && <span className="row-break" />}
            <SegmentView
              segment={segment}
              spacing={spacing}
              closes={i === line.segments.length - 1}
              barNumber={barNumbers && i === firstBar ? number : null}
              chordBefore={i === 0 ? line.chordBefore : null}
              breathes={i === line.segments.length - 1 && !endsInSilence(line)}
              {...look}
            />
          </Fragment>
        );
      })}
      {onWords && (
        <button
          type="button"
          className="line-words no-print"
          aria-label={wordsLabel(line, number)}
          aria-expanded={look.words != null}
          aria-keyshortcuts="w"
          onClick={() => onWords(line.key)}
        >
          <Pencil />
          <span aria-hidden="true">words</span>
        </button>
      )}
      {talk && onTalk && talk.said > 0 && (
        <button
          type="button"
          className="line-said no-print"
          data-talk={line.key}
          data-waits={talk.waits}
          aria-label={`${saidInWords(talk)} of the line: ${wordsOf(line)}${number === null ? '' : `, from bar ${number}`}`}
          aria-expanded={talk.isOpen}
          onClick={() => onTalk(line.key)}
        >
          {talk.waits && <SaidMark />}
          <span aria-hidden="true">{talk.waits ? 'not answered yet' : 'said'}</span>
        </button>
      )}
    </div>
  );
}, drawsSame);

const wordsOf = ({ words }: Line): string => (words === '' ? 'no words' : words.replace(/[,;:.]+$/, ''));

function wordsLabel(line: Line, number: number | null): string {
  return `Change the words and chords: ${wordsOf(line)}${number === null ? '' : `, from bar ${number}`}`;
}

/** Whether a silence stands after the line's last word, and with it a sign of its own; so it is where nobody sings. */
function endsInSilence(line: Line): boolean {
  const last = line.segments.flatMap(({ syllables }) => syllables).at(-1);
  if (!last) return true;
  return (
    last.endTick < line.endTick ||
    line.segments.some(({ spaces }) => spaces.some((part) => part.endTick > last.startTick))
  );
}

/** Which segments begin a row on a sheet: as few rows as can be, of about one length. */
function rowStarts(
  widths: readonly number[],
  sheetWidth: number | undefined,
  indent: number,
): ReadonlySet<number> {
  const starts = new Set<number>();
  if (sheetWidth === undefined) return starts;
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
