import type { Instruction } from '../drawing';
import { type Block, layText, type Measure, moved, type Paragraph, TURN_COSTS } from '../sheet';

/** A text in a row's column. */
export interface Cell {
  readonly text: Paragraph;
  readonly x: number;
  readonly width: number;
  /** Where it ends, it is set against the column's right edge, if it goes into one line. */
  readonly toRight?: boolean;
}

/** Texts side by side as one block, their first lines on one baseline. */
export function rowBlock(
  cells: readonly Cell[],
  measure: Measure,
  { before = 0, turn = TURN_COSTS.line }: { readonly before?: number; readonly turn?: number } = {},
): Block {
  const largest = Math.max(...cells.map(({ text }) => text.size));
  const drawing: Instruction[] = [];
  let height = 0;
  for (const { text, x, width, toRight = false } of cells) {
    const laid = layText(text, width, measure);
    const drop = largest - text.size;
    const wide = text.runs.reduce((sum, run) => sum + measure(run.text, text.size, run.face), 0);
    const inset = toRight && wide <= width ? width - wide : 0;
    drawing.push(...moved(laid.drawing, x + inset, before + drop));
    height = Math.max(height, drop + laid.height);
  }
  return { height: before + height, drawing, turn, mark: null };
}
