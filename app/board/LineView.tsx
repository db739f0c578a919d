import { type CSSProperties, Fragment, memo } from 'react';
import { itemAt } from '../../lib/base';
import { type Line, notesApart, roomAtStart, rowStarts, spacingOf, tearsFill } from '../../lib/parts';
import { chordsAloud } from './chords-aloud';
import { drawsSame } from './draws-same';
import { BREAK_LINE } from './geometry';
import type { LineProps } from './look';
import { Pencil } from './Pencil';
import { roomForHolder } from './room-for-holder';
import { SaidMark } from './SaidMark';
import { SegmentView } from './SegmentView';
import { writtenIn } from './SpaceInLine';
import { saidInWords } from './said-words';
import { type Placed, strokesBehind } from './strokes';

/** One sung line along its beats. It may break between bars where the page is narrow; pickups hang out to the left. */
export const LineView = memo(function LineView({
  line,
  hang,
  barNumbers,
  sheetWidth,
  without,
  onWords,
  talk,
  onTalk,
  ...look
}: LineProps) {
  const { geometry, pixelsPerTick, bySpace } = look;
  const room = (id: string) => roomForHolder(bySpace.get(id), look);
  const spacings = line.segments.map((segment, i) =>
    spacingOf(
      segment,
      pixelsPerTick,
      geometry.wordSize,
      room,
      notesApart(segment, writtenIn(segment, look), geometry.numberSize),
      roomAtStart(line.segments[i + 1], pixelsPerTick, room),
    ),
  );
  const widths = spacings.map((spacing) => spacing.width);
  const indent = Math.max(0, hang - (line.pickupTicks > 0 ? (widths[0] ?? 0) : 0));
  const breaks: ReadonlySet<number> =
    sheetWidth === undefined
      ? NO_ROWS
      : new Set(
          rowStarts(widths, sheetWidth - indent, (at) =>
            tearsFill(line.segments, at, (segment) => writtenIn(segment, look)),
          ).slice(1),
        );
  const bare = without ? rowsWithout(line, breaks, look) : NO_ROWS;
  const firstBar = line.segments.findIndex((segment) => segment.startsBar && !segment.bar.bar.pickup);
  const width = widths.reduce((sum, each) => sum + each, 0);
  const style: CSSProperties & Record<'--indent' | '--width' | '--pixels' | '--height', string> = {
    '--indent': `${indent.toFixed(2)}px`,
    '--width': `${width.toFixed(2)}px`,
    '--pixels': width.toFixed(0),
    '--height': `${geometry.height}px`,
  };
  const number = line.segments[firstBar]?.bar.number ?? null;
  const placed = line.segments.map(
    (segment, i): Placed => ({
      ...look,
      segment,
      spacing: itemAt(spacings, i),
      geometry: without && bare.has(i) ? without : geometry,
    }),
  );
  const behind = strokesBehind(placed);
  return (
    <div className={geometry === BREAK_LINE ? 'line line-bare' : 'line'} style={style} data-line={line.key}>
      <p className="sr-only">
        {number === null ? '' : `Bar ${number}. `}
        {line.words === '' ? 'No words. ' : `${line.words} `}
        {chordsAloud(line, look.chordName)}
      </p>
      {placed.map((at, i) => (
        <Fragment key={at.segment.startTick}>
          {breaks.has(i) && <span className="row-break" />}
          <SegmentView
            {...at}
            behind={behind[i]}
            barNumber={barNumbers && i === firstBar ? number : null}
            chordBefore={i === 0 ? line.chordBefore : null}
            breathes={i === placed.length - 1 && !endsInSilence(line)}
          />
        </Fragment>
      ))}
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

const NO_ROWS: ReadonlySet<number> = new Set();

/** The segments of the rows in which no notes are written. */
function rowsWithout(
  { segments }: Line,
  breaks: ReadonlySet<number>,
  look: Pick<LineProps, 'bySpace' | 'onlyPlayer'>,
): ReadonlySet<number> {
  const found = new Set<number>();
  let row: number[] = [];
  let hasNotes = false;
  segments.forEach((segment, i) => {
    if (breaks.has(i)) {
      row = [];
      hasNotes = false;
    }
    row.push(i);
    hasNotes ||= writtenIn(segment, look).some((notes) =>
      notes.some(({ tick }) => tick >= segment.startTick && tick < segment.endTick),
    );
    for (const each of row) {
      if (hasNotes) found.delete(each);
      else found.add(each);
    }
  });
  return found;
}
