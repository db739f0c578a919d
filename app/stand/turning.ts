import { itemAt, lastOf } from '../../lib/base';

/** What must not be cut by the edge of a page: from top to bottom, in pixels from the sheet's top. */
export interface Row {
  readonly key: string;
  readonly top: number;
  readonly bottom: number;
  /** True for a heading, which stands on the page of the row after it. */
  readonly isHeading: boolean;
  /** The pass in which it stands; null: the song's head. */
  readonly passId: string | null;
}

/** One page of the sheet: what is shown from `top` to `bottom`. */
export interface StandPageCut {
  readonly top: number;
  readonly bottom: number;
  /** Keys of the rows on it, in order. */
  readonly keys: readonly string[];
}

/** Rows in order, those that share a height of the sheet made one: they are turned together. */
export function rowsOf(pieces: readonly Row[]): readonly Row[] {
  const rows: Row[] = [];
  for (const piece of [...pieces].sort((a, b) => a.top - b.top || a.bottom - b.bottom)) {
    const last = rows.at(-1);
    if (last && piece.top < last.bottom - 0.5) {
      rows[rows.length - 1] = {
        ...last,
        bottom: Math.max(last.bottom, piece.bottom),
        isHeading: last.isHeading && piece.isHeading,
      };
    } else rows.push(piece);
  }
  return rows;
}

/**
 * Whole rows to pages of a height, as many as go on each; a heading goes with the row after it. A row that is higher than a page has a
 * page to itself.
 *
 * @param fresh the key of a row that begins a page though the one before is not full; null: none
 */
export function pagesOf(
  rows: readonly Row[],
  height: number,
  fresh: string | null = null,
): readonly StandPageCut[] {
  const at = fresh === null ? -1 : rows.findIndex(({ key }) => key === fresh);
  return at > 0 ? [...cut(rows.slice(0, at), height), ...cut(rows.slice(at), height)] : cut(rows, height);
}

function cut(rows: readonly Row[], height: number): readonly StandPageCut[] {
  const pages: StandPageCut[] = [];
  let from = 0;
  while (from < rows.length) {
    const { top } = itemAt(rows, from);
    let to = from + 1;
    while (to < rows.length && itemAt(rows, to).bottom - top <= height) to++;
    if (to < rows.length) while (to > from + 1 && itemAt(rows, to - 1).isHeading) to--;
    const own = rows.slice(from, to);
    pages.push({ top, bottom: lastOf(own).bottom, keys: own.map(({ key }) => key) });
    from = to;
  }
  return pages;
}

/** The page on which a row stands; -1: none. */
export const pageWith = (pages: readonly StandPageCut[], key: string): number =>
  pages.findIndex(({ keys }) => keys.includes(key));
