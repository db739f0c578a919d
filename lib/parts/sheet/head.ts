import type { Arrangement } from '../arrangement';
import type { Instruction } from '../drawing';
import { cueInWords, type Part } from '../part';
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
    ...notes.map((note) => block(paragraph(note, 10, { tone: 'quiet' }), 2)),
    ...(part.order.length === 0 ? [] : [orderBlock(part, width, measure)]),
  ];
  const own = part.own.map((each) => cueInWords(each, arrangement, part));
  if (own.length === 0) blocks.push(block(paragraph('You have no fills in this song yet.', 12), 6));
  else {
    blocks.push(block(paragraph('', 14, { runs: [{ text: 'Your spaces', face: 'italic' }] }), 8));
    own.forEach((text, i) => {
      const one = paragraph('', 12, {
        runs: [{ text, face: 'words' }],
        label: `${i + 1}.`,
        indent: own.length > 9 ? 32 : 24,
        leading: 1.4,
      });
      blocks.push(block(one, 0, TURN_COSTS.line));
    });
  }
  if (care) blocks.push(block(paragraph(CARE, 9, { tone: 'quiet' }), 6, TURN_COSTS.pass));
  return blocks;
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

const GUTTER = 30;

/** The order of the song in two columns between two rules. */
function orderBlock(part: Part, width: number, measure: Measure): Block {
  const column = (width - GUTTER) / 2;
  const rows = part.order.map((row, i) =>
    layText(
      paragraph('', 12, {
        runs: [
          { text: row.name, face: 'strong' },
          {
            text: `, ${row.bars} ${row.bars === 1 ? 'bar' : 'bars'}: ${row.role}${row.others === '' ? '' : ` (${row.others})`}`,
            face: 'plain',
          },
        ],
        label: `${i + 1}.`,
        indent: part.order.length > 9 ? 32 : 24,
      }),
      column,
      measure,
    ),
  );
  const total = rows.reduce((sum, row) => sum + row.height, 0);
  const drawing: Instruction[] = [];
  const columns = [0, 0];
  const above = 14;
  let side = 0;
  for (const row of rows) {
    const at = columns[side] ?? 0;
    drawing.push(...moved(row.drawing, side * (column + GUTTER), above + at));
    columns[side] = at + row.height;
    if (side === 0 && at + row.height >= total / 2) side = 1;
  }
  const bottom = above + Math.max(...columns) + 6;
  return {
    height: bottom + 4,
    drawing: [rule(8, width), ...drawing, rule(bottom, width)],
    turn: TURN_COSTS.torn,
    mark: null,
  };
}
