import { itemAt } from '../../base';
import { type Band, type Player, settingOf } from '../../song';
import type { Arrangement } from '../arrangement';
import type { Drawing, Instruction } from '../drawing';
import type { Line } from '../lines';
import { cueInWords, othersInWords, type Part, partOf } from '../part';
import { passName } from '../sentences';
import { hangOf } from '../spacing';
import { pagesOf } from './pages';
import { CHORDS_ROW, NOTES_ROW, type RowLook, rowsOf, WORDS_ROW } from './row';
import { layText, moved, type Paragraph } from './text';
import { type Block, MARGINS, type Measure, PAPER_SIZES, type Paper, type Sheet, TURN_COSTS } from './types';

export interface SheetRequest {
  readonly arrangement: Arrangement;
  readonly band: Band;
  readonly player: Player;
  readonly paper: Paper;
  /** The day of the version, as it stands in the foot. */
  readonly asOf: string;
  readonly measure: Measure;
}

/**
 * One player's part as pages of drawing instructions: head, order of the song, cues, then pass after pass. Nothing is cut by a page's edge,
 * and pages turn where the player's hands are free as far as that costs no page more.
 */
export function sheetsOf(request: SheetRequest): readonly Sheet[] {
  const { arrangement, band, player, paper, measure } = request;
  const { width, height } = PAPER_SIZES[paper];
  const room = width - 2 * MARGINS.side;
  const part = partOf(arrangement, band, player);
  const blocks = [...headBlocks(part, arrangement, room, measure), ...passBlocks(request, part, room)];
  const starts = pagesOf(blocks, height - MARGINS.top - MARGINS.bottom);
  return starts.map((from, page) => {
    const drawing: Instruction[] = [...footOf(request, page + 1, starts.length, width, height)];
    const marks: { text: string; y: number }[] = [];
    let y: number = MARGINS.top;
    for (let i = from; i < (starts[page + 1] ?? blocks.length); i++) {
      const block = itemAt(blocks, i);
      drawing.push(...moved(block.drawing, MARGINS.side, y));
      if (block.mark !== null) marks.push({ text: block.mark, y });
      y += block.height;
    }
    return { drawing, marks };
  });
}

const POINT = 96 / 72;

function paragraph(text: string, points: number, more: Partial<Paragraph> = {}): Paragraph {
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

const CARE =
  'Warm up, take breaks, stop when it hurts, and see a clinician if it stays. Loud rehearsals: 85 dBA is the recommended limit for 8 hours, half the time for every 3 dB more (NIOSH). Local rules come first.';

function headBlocks(part: Part, arrangement: Arrangement, width: number, measure: Measure): Block[] {
  const { head } = part;
  const block = (one: Paragraph, before: number, turn: number = TURN_COSTS.torn): Block => {
    const { drawing, height } = layText(one, width, measure);
    return { height: height + before, drawing: moved(drawing, 0, before), turn, mark: null };
  };
  const blocks: Block[] = [
    {
      ...block(paragraph(head.title, 22, { runs: [{ text: head.title, face: 'words' }], leading: 1.15 }), 0),
      mark: head.title,
    },
    block(
      paragraph('', 12, {
        runs: [
          { text: `${head.player}`, face: 'strong' },
          { text: `, ${head.instrument}${head.tuning === '' ? '' : `, ${head.tuning}`}`, face: 'plain' },
        ],
      }),
      3,
    ),
    block(paragraph(`${head.key} · ${head.meter} · ${head.tempo}, ${head.feel}`, 12), 0),
    orderBlock(part, width, measure),
  ];
  const own = part.own.map((each) => cueInWords(each, arrangement, part));
  if (own.length === 0) blocks.push(block(paragraph('You have no fills in this song yet.', 12), 6));
  else {
    blocks.push(block(paragraph('', 14, { runs: [{ text: 'Your spaces', face: 'italic' }] }), 8));
    own.forEach((text, i) => {
      const one = paragraph('', 12, {
        runs: [{ text, face: 'words' }],
        label: `${i + 1}.`,
        indent: 24,
        leading: 1.4,
      });
      blocks.push(block(one, 0, TURN_COSTS.line));
    });
  }
  blocks.push(block(paragraph(CARE, 9, { tone: 'quiet' }), 6, TURN_COSTS.pass));
  return blocks;
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
            text: `, ${row.bars} bars: ${row.role}${row.others === '' ? '' : ` (${row.others})`}`,
            face: 'plain',
          },
        ],
        label: `${i + 1}.`,
        indent: 24,
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
  const rule = (y: number): Instruction => ({ kind: 'line', x1: 0, y1: y, x2: width, y2: y, pen: 'ink' });
  return {
    height: bottom + 4,
    drawing: [rule(8), ...drawing, rule(bottom)],
    turn: TURN_COSTS.torn,
    mark: null,
  };
}

function passBlocks(
  { arrangement, band, player, measure }: SheetRequest,
  part: Part,
  width: number,
): Block[] {
  const { song } = arrangement;
  const own = new Set(
    part.own.filter(({ standing }) => standing.notes.length > 0).map(({ space }) => space.id),
  );
  const plays = (line: Line | undefined) =>
    line?.segments.some(({ spaces }) => spaces.some(({ space }) => own.has(space.id))) ?? false;
  const look = {
    player,
    bySpace: arrangement.bySpace,
    playerOf: (id: string) => band.players.find((one) => one.id === id) ?? null,
    instrument: settingOf(song, player).instrument,
    key: song.key,
    chordName: part.chordName,
  };
  const blocks: Block[] = [];
  arrangement.passes.forEach((pass, p) => {
    const played = song.passes.find((one) => one.id === pass.passId);
    const name = played ? passName(song, played) : '';
    const role = part.order.find((row) => row.passId === pass.passId)?.role ?? '';
    const aside = played
      ? [role, othersInWords(arrangement, band, played, player.id)].filter((text) => text !== '').join('. ')
      : '';
    const heading = layText(
      paragraph('', 14, {
        runs: [
          { text: `${name}  `, face: 'strong' },
          { text: aside.charAt(0).toUpperCase() + aside.slice(1), face: 'plain' },
        ],
      }),
      width,
      measure,
    );
    blocks.push({
      height: heading.height + 12,
      drawing: moved(heading.drawing, 0, 10),
      turn: TURN_COSTS.torn,
      mark: name,
    });
    const breaker = band.players.find((one) => played?.roles[one.id] === 'break') ?? null;
    pass.lines.forEach((line, i) => {
      const geometry = plays(line) ? NOTES_ROW : played?.stanza === null ? CHORDS_ROW : WORDS_ROW;
      const scale = geometry === NOTES_ROW ? arrangement.pixelsPerTick : arrangement.sheetPixelsPerTick;
      const row: RowLook = { ...look, geometry, pixelsPerTick: scale, breaker };
      const next = pass.lines[i + 1] ?? arrangement.passes[p + 1]?.lines[0];
      const between = i === pass.lines.length - 1 ? TURN_COSTS.pass : TURN_COSTS.line;
      const turn = plays(line) || plays(next) ? TURN_COSTS.playing : between;
      const rows = rowsOf(line, row, width, hangOf(arrangement.passes, scale, geometry.wordSize));
      rows.forEach(({ drawing }, r) => {
        blocks.push({
          height: geometry.height,
          drawing,
          turn: r < rows.length - 1 ? TURN_COSTS.torn : turn,
          mark: null,
        });
      });
    });
  });
  return blocks;
}

function footOf(
  { band, arrangement, player, asOf }: SheetRequest,
  page: number,
  pages: number,
  width: number,
  height: number,
): Drawing {
  const y = height - MARGINS.foot;
  const text = (x: number, words: string, anchor: 'start' | 'middle' | 'end'): Instruction => ({
    kind: 'text',
    x,
    y,
    text: words,
    size: 9 * POINT,
    anchor,
    face: 'plain',
    tone: 'quiet',
    clear: 0,
  });
  return [
    text(MARGINS.side, `${band.name} · ${arrangement.song.title} · ${player.name}`, 'start'),
    text(width / 2 + 60, `as of ${asOf}`, 'middle'),
    text(width - MARGINS.side, `page ${page} of ${pages}`, 'end'),
  ];
}
