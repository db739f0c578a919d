import type { Arrangement } from '../arrangement';
import type { Instruction } from '../drawing';
import { cueInWords, type OrderRow, type Part } from '../part';
import { POINT } from './paged';
import { layText, moved, type Paragraph, type Run } from './text';
import { type Block, type Measure, TURN_COSTS } from './types';

export function paragraph(text: string, points: number, more: Partial<Paragraph> = {}): Paragraph {
  return {
    runs: [{ text, face: 'plain' }],
    size: points * POINT,
    leading: 1.35,
    tone: 'ink',
    label: null,
    indent: 0,
    ...more,
  };
}

/** A paragraph as a block of a width, with some pixels before it. */
export function textBlock(
  one: Paragraph,
  width: number,
  measure: Measure,
  before = 0,
  turn: number = TURN_COSTS.torn,
): Block {
  const { drawing, height } = layText(one, width, measure);
  return { height: height + before, drawing: moved(drawing, 0, before), turn, mark: null };
}

export const rule = (y: number, width: number): Instruction => ({
  kind: 'line',
  x1: 0,
  y1: y,
  x2: width,
  y2: y,
  pen: 'ink',
});

const CARE =
  'Warm up, take breaks, stop when it hurts, and see a clinician if it stays. Loud rehearsals: 85 dBA is the recommended limit for 8 hours, half the time for every 3 dB more (NIOSH). Local rules come first.';

export interface HeadRequest {
  readonly part: Part;
  readonly arrangement: Arrangement;
  readonly width: number;
  readonly measure: Measure;
  /** Stands before the title; empty: nothing does. */
  readonly label: string;
  /** What comes before the song, a paragraph each. */
  readonly opening: readonly (readonly Run[])[];
  /** Who starts and how it ends, a sentence each. */
  readonly course: readonly string[];
  /** What a reader has to know of the print itself. */
  readonly notes: readonly string[];
  /** False where what to care for is said elsewhere. */
  readonly care: boolean;
}

/** What comes before a part's lines: what lies before the song, its head, its order, the player's own spaces. */
export function headBlocks(request: HeadRequest): Block[] {
  const { part, arrangement, width, measure, label, opening, course, notes, care } = request;
  const { head } = part;
  const block = (one: Paragraph, before: number, turn?: number): Block =>
    textBlock(one, width, measure, before, turn);
  const title: readonly Run[] = [
    ...(label === '' ? [] : [{ text: `${label}  `, face: 'plain' } as const]),
    { text: head.title, face: 'words' },
  ];
  const blocks: Block[] = [
    ...openingBlocks(opening, width, measure),
    block(paragraph('', 22, { runs: title, leading: 1.15 }), 0),
    block(
      paragraph('', 12, {
        runs: [
          { text: head.player, face: 'strong' },
          { text: `, ${head.instrument}${head.tuning === '' ? '' : `, ${head.tuning}`}`, face: 'plain' },
        ],
      }),
      3,
    ),
    block(paragraph(`${head.key} · ${head.meter} · ${head.tempo}, ${head.feel}`, 12), 0),
    ...(course.length === 0 ? [] : [block(paragraph(course.join(' '), 12), 0)]),
    ...head.chords.map((sentence) => block(paragraph(sentence, 12), 0)),
    ...notes.map((note) => block(paragraph(note, 10, { tone: 'quiet' }), 2)),
    ...orderBlocks(part, width, measure),
  ];
  blocks.push(...ownBlocks(part, arrangement, width, measure));
  if (care) blocks.push(block(paragraph(CARE, 9, { tone: 'quiet' }), 6, TURN_COSTS.pass));
  return blocks;
}

/** The player's own spaces with their cues, and what the others do meanwhile. */
export function ownBlocks(
  part: Part,
  arrangement: Arrangement,
  width: number,
  measure: Measure,
): readonly Block[] {
  const { own } = part;
  if (own.length === 0)
    return [textBlock(paragraph('You have no fills in this song yet.', 12), width, measure, 6)];
  const heading = paragraph('', 14, { runs: [{ text: 'Your spaces', face: 'italic' }] });
  return [
    textBlock(heading, width, measure, 8),
    ...own.map((each, i) => {
      const meanwhile = each.others === '' ? '' : `. ${each.others}.`;
      const one = paragraph('', 12, {
        runs: [
          { text: cueInWords(each, arrangement, part), face: 'words' },
          { text: meanwhile, face: 'plain' },
        ],
        label: `${i + 1}.`,
        indent: own.length > 9 ? 32 : 24,
        leading: 1.4,
      });
      return textBlock(one, width, measure, 0, TURN_COSTS.line);
    }),
  ];
}

function openingBlocks(
  opening: readonly (readonly Run[])[],
  width: number,
  measure: Measure,
): readonly Block[] {
  if (opening.length === 0) return [];
  const blocks = opening.map((runs) => textBlock(paragraph('', 12, { runs }), width, measure));
  return [...blocks, { height: 18, drawing: [rule(7, width)], turn: TURN_COSTS.torn, mark: null }];
}

/** Between two columns. */
export const GUTTER = 30;

type Laid = ReturnType<typeof layText>;

/** As high as a piece of the order is at most, so that a song of very many passes still goes on pages. */
const ORDER_PIECE = 420;

/** The order of the song in two columns between two rules; a very long one in several pieces. */
export function orderBlocks(part: Part, width: number, measure: Measure): readonly Block[] {
  const column = (width - GUTTER) / 2;
  const rows = part.order.map((row, i) => orderRow(row, i, part.order.length, column, measure));
  const pieces: (typeof rows)[] = [];
  let filled = Number.POSITIVE_INFINITY;
  for (const row of rows) {
    if (filled + row.height > 2 * ORDER_PIECE) {
      pieces.push([]);
      filled = 0;
    }
    pieces.at(-1)?.push(row);
    filled += row.height;
  }
  return pieces.map((piece, i) => {
    const isFirst = i === 0;
    const isLast = i === pieces.length - 1;
    const above = isFirst ? 14 : 0;
    const { drawing, height } = inColumns(piece, column, above);
    const bottom = height + 6;
    return {
      height: isLast ? bottom + 4 : height,
      drawing: [...(isFirst ? [rule(8, width)] : []), ...drawing, ...(isLast ? [rule(bottom, width)] : [])],
      turn: isLast ? TURN_COSTS.torn : TURN_COSTS.line,
      mark: null,
    };
  });
}

function orderRow(row: OrderRow, index: number, of: number, width: number, measure: Measure): Laid {
  const company = companyIn(row);
  const bars = `${row.bars} ${row.bars === 1 ? 'bar' : 'bars'}`;
  return layText(
    paragraph('', 12, {
      runs: [
        { text: row.name, face: 'strong' },
        { text: `, ${bars}: ${row.role}${company === '' ? '' : ` (${company})`}`, face: 'plain' },
      ],
      label: `${index + 1}.`,
      indent: of > 99 ? 40 : of > 9 ? 32 : 24,
    }),
    width,
    measure,
  );
}

/** Who else is to be heard in a pass: for a singer, who sings which part. */
export const companyIn = ({ voices, others }: OrderRow): string => (voices === '' ? others : voices);

/** Texts one under another in two columns as near to one height as can be, the first to the left. */
export function inColumns(rows: readonly Laid[], column: number, above = 0): Laid {
  const total = rows.reduce((sum, row) => sum + row.height, 0);
  let best = { left: total, split: rows.length };
  let left = 0;
  rows.forEach((row, i) => {
    left += row.height;
    if (left >= total - left && left < best.left) best = { left, split: i + 1 };
  });
  const drawing: Instruction[] = [];
  const columns = [0, 0];
  rows.forEach((row, i) => {
    const side = i < best.split ? 0 : 1;
    const at = columns[side] ?? 0;
    drawing.push(...moved(row.drawing, side * (column + GUTTER), above + at));
    columns[side] = at + row.height;
  });
  return { drawing, height: above + Math.max(...columns) };
}
