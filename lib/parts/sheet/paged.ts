import { itemAt } from '../../base';
import type { Instruction } from '../drawing';
import { pagesOf } from './pages';
import { stampOf } from './stamp';
import { moved, scaled, shortened } from './text';
import { type Block, MARGINS, type Measure, PAPER_SIZES, type Paper, type Sheet } from './types';

/** CSS pixels of a point. */
export const POINT = 96 / 72;
const FOOT_SIZE = 9 * POINT;
const FOOT_SPACE = 14;

/** What stands at the foot of a page. */
export interface Foot {
  /** What these pages are, shortened where it is too long. */
  readonly left: string;
  /** From when. */
  readonly middle: string;
  /** Which page: `page 2 of 3`. */
  readonly right: (page: number, pages: number) => string;
}

export interface Frame {
  readonly paper: Paper;
  readonly measure: Measure;
  readonly foot: Foot;
  /** 1: as laid out; less: smaller, with more on a page. */
  readonly scale: number;
}

/** Width that blocks have on a paper. */
export const roomOn = (paper: Paper, scale = 1): number =>
  (PAPER_SIZES[paper].width - 2 * MARGINS.side) / scale;

/** Height that blocks have on a page of a paper. */
export const heightOn = (paper: Paper, scale = 1): number =>
  (PAPER_SIZES[paper].height - MARGINS.top - MARGINS.bottom) / scale;

/** Blocks put on pages, with a foot on each. */
export function sheetsFrom(blocks: readonly Block[], frame: Frame): readonly Sheet[] {
  const { paper, scale } = frame;
  const starts = pagesOf(blocks, heightOn(paper, scale));
  const pages = starts.map((from, page) => {
    const drawing: Instruction[] = [];
    const marks: { text: string; y: number }[] = [];
    let y: number = MARGINS.top;
    for (let i = from; i < (starts[page + 1] ?? blocks.length); i++) {
      const block = itemAt(blocks, i);
      drawing.push(...moved(scaled(block.drawing, scale), MARGINS.side, y));
      if (block.mark !== null) marks.push({ text: block.mark, y });
      y += block.height * scale;
    }
    return { drawing, marks };
  });
  const stamp = stampOf(pages.map(({ drawing }) => drawing));
  return pages.map(({ drawing, marks }, page) => ({
    drawing: [...drawing, ...footOf(frame, page + 1, pages.length, stamp)],
    marks,
    stamp,
  }));
}

function footOf(
  { paper, measure, foot }: Frame,
  page: number,
  pages: number,
  stamp: string,
): readonly Instruction[] {
  const { width, height } = PAPER_SIZES[paper];
  const text = (x: number, words: string, anchor: 'start' | 'middle' | 'end'): Instruction => ({
    kind: 'text',
    x,
    y: height - MARGINS.foot,
    text: words,
    size: FOOT_SIZE,
    anchor,
    face: 'plain',
    tone: 'quiet',
    clear: 0,
  });
  const wide = (words: string) => measure(words, FOOT_SIZE, 'plain');
  const right = foot.right(page, pages);
  const end = width - MARGINS.side;
  // From the right, so that what tells pages apart is whole whatever the names are.
  const middleEnd = end - wide(right) - 2 * FOOT_SPACE;
  const middle = `${foot.middle} · ${stamp}`;
  const room = middleEnd - wide(middle) - FOOT_SPACE - MARGINS.side;
  return [
    text(MARGINS.side, shortened(foot.left, room, FOOT_SIZE, 'plain', measure), 'start'),
    text(middleEnd, middle, 'end'),
    text(end, right, 'end'),
  ];
}
