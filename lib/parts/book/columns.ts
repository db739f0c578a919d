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

/** Minutes and seconds: `3:07`, `1:02:30`. */
export function clockInFigures(seconds: number): string {
  const whole = Math.round(Math.max(0, seconds));
  const pair = (value: number) => String(value).padStart(2, '0');
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60];
  return hours > 0 ? `${hours}:${pair(minutes)}:${pair(whole % 60)}` : `${minutes}:${pair(whole % 60)}`;
}

const ORDINALS = ['First', 'Second', 'Third', 'Fourth', 'Fifth', 'Sixth'];
/** `First set`, where there are several. */
export const setInWords = (index: number): string => `${ORDINALS[index] ?? `${index + 1}th`} set`;
