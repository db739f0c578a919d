import type { Arrangement } from '../arrangement';
import { passName } from '../sentences';
import { GUTTER, inColumns, paragraph } from './head';
import { layText, moved, type Run } from './text';
import { type Block, type Measure, TURN_COSTS } from './types';

/** Texts one under another, kept together, with some space under them. */
function stacked(rows: readonly ReturnType<typeof layText>[]): ReturnType<typeof layText> {
  let height = 0;
  const drawing = rows.flatMap((row) => {
    const at = moved(row.drawing, 0, height);
    height += row.height;
    return at;
  });
  return { drawing, height: height + 5 };
}

/** The words alone, pass by pass in two columns, a sung line to a line. Nothing where nobody sings. */
export function wordBlocks({ song, passes }: Arrangement, width: number, measure: Measure): readonly Block[] {
  const column = (width - GUTTER) / 2;
  const rows = passes.flatMap((pass) => {
    const played = song.passes.find(({ id }) => id === pass.passId);
    const lines = pass.lines.map(({ words }) => words).filter((words) => words !== '');
    if (!played || lines.length === 0) return [];
    const text = (runs: readonly Run[], size: number) =>
      layText(paragraph('', size, { runs, leading: 1.3 }), column, measure);
    const named = text([{ text: passName(song, played), face: 'strong' }], 11);
    return [stacked([named, ...lines.map((words) => text([{ text: words, face: 'words' }], 12.5))])];
  });
  if (rows.length === 0) return [];
  const { drawing, height } = inColumns(rows, column, 8);
  return [{ height, drawing, turn: TURN_COSTS.pass, mark: null }];
}
