'use client';

import { type RefObject, useCallback, useLayoutEffect, useMemo, useRef, useState } from 'react';
import { pagesOf, pageWith, type Row, rowsOf } from './turning';

/** What of a sheet is never cut: its paragraphs, its headings, and each bar of a line. */
const PIECES = '[data-piece], .pass-margin, .segment, .misfit';

interface Measured {
  readonly rows: readonly Row[];
  readonly height: number;
  readonly width: number;
  /** The widest bar. */
  readonly widest: number;
}

const NOTHING: Measured = { rows: [], height: 0, width: 0, widest: 0 };

/** A sheet in a view of fixed height, measured and cut into pages of whole rows. `drawn` changes when the sheet is drawn anew. */
export function usePages(
  view: RefObject<HTMLElement | null>,
  sheet: RefObject<HTMLElement | null>,
  drawn: unknown,
) {
  const [measured, setMeasured] = useState<Measured>(NOTHING);
  /** The first row of the page that is open: found again when the sheet is cut anew. */
  const [atKey, setAtKey] = useState<string | null>(null);
  const lastPage = useRef(0);
  /** The row that was jumped to last: a page begins there. */
  const [fresh, setFresh] = useState<string | null>(null);

  const measure = useCallback(() => {
    if (!view.current || !sheet.current) return;
    setMeasured(measuredIn(view.current, sheet.current));
  }, [view, sheet]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: measured again when drawn anew
  useLayoutEffect(measure, [measure, drawn]);
  useLayoutEffect(() => {
    const watch = new ResizeObserver(measure);
    for (const one of [view.current, sheet.current]) if (one) watch.observe(one);
    // Letters that come late move what stands on the page.
    void document.fonts.ready.then(measure);
    return () => watch.disconnect();
  }, [measure, view, sheet]);

  const pages = useMemo(() => pagesOf(measured.rows, measured.height, fresh), [measured, fresh]);
  const found = atKey === null ? 0 : pageWith(pages, atKey);
  const at = Math.max(0, found < 0 ? Math.min(lastPage.current, pages.length - 1) : found);
  const go = useCallback(
    (page: number) => {
      const to = Math.max(0, Math.min(pages.length - 1, page));
      lastPage.current = to;
      setAtKey(pages[to]?.keys[0] ?? null);
    },
    [pages],
  );
  const goToPass = (passId: string) => {
    const row = measured.rows.find((one) => one.passId === passId);
    if (!row) return;
    setFresh(row.key);
    setAtKey(row.key);
  };
  const shown = pages[at] ?? null;
  /** The passes that begin or go on on the open page, in order. */
  const passesHere = useMemo(() => {
    const keys = new Set(shown?.keys);
    const ids = measured.rows.filter(({ key }) => keys.has(key)).map(({ passId }) => passId);
    return [...new Set(ids)].filter((id) => id !== null);
  }, [measured, shown]);
  return {
    count: pages.length,
    at,
    go,
    goToPass,
    shown,
    passesHere,
    width: measured.width,
    widest: measured.widest,
  };
}

function measuredIn(view: HTMLElement, sheet: HTMLElement): Measured {
  const origin = sheet.getBoundingClientRect().top;
  let widest = 0;
  const pieces = [...sheet.querySelectorAll<HTMLElement>(PIECES)].map((piece): Row => {
    const box = piece.getBoundingClientRect();
    const isBar = piece.matches('.segment');
    if (isBar) widest = Math.max(widest, box.width);
    const line = piece.closest('[data-line]')?.getAttribute('data-line') ?? '';
    const passId = piece.closest('[data-pass]')?.getAttribute('data-pass') ?? null;
    return {
      key: [passId, line, piece.getAttribute('data-bar') ?? piece.getAttribute('data-piece') ?? 'name'].join(
        ' ',
      ),
      top: box.top - origin,
      bottom: box.bottom - origin,
      isHeading: piece.matches('.pass-margin'),
      passId,
    };
  });
  return {
    rows: rowsOf(pieces),
    height: view.clientHeight,
    width: sheet.clientWidth,
    widest,
  };
}
