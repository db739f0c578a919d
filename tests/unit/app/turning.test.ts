import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pagesOf, pageWith, type Row, rowsOf } from '../../../app/stand/turning';
import { itemAt } from '../../../lib/base';

const row = (key: string, top: number, bottom: number, isHeading = false): Row => ({
  key,
  top,
  bottom,
  isHeading,
  passId: null,
});

/** Rows one under another, some of them headings, some with room between them. */
const sheets = fc
  .array(
    fc.record({ height: fc.integer({ min: 10, max: 120 }), room: fc.nat(20), isHeading: fc.boolean() }),
    {
      minLength: 1,
      maxLength: 40,
    },
  )
  .map((parts) => {
    let y = 0;
    return parts.map(({ height, room, isHeading }, i) => {
      const top = y + room;
      y = top + height;
      return row(String(i), top, y, isHeading);
    });
  });

describe('pages on the stand', () => {
  // Common practice, no source: counted by hand.
  it('are turned by whole rows, with a heading on the page of what it heads', () => {
    const rows = [
      row('head', 0, 40),
      row('verse', 40, 60, true),
      row('a', 60, 100),
      row('chorus', 100, 120, true),
      row('b', 120, 160),
    ];
    expect(pagesOf(rows, 130).map(({ keys }) => keys)).toEqual([
      ['head', 'verse', 'a'],
      ['chorus', 'b'],
    ]);
    expect(pagesOf(rows, 160).map(({ keys }) => keys)).toEqual([['head', 'verse', 'a', 'chorus', 'b']]);
    // A pass that was jumped to begins a page.
    expect(pagesOf(rows, 160, 'chorus').map(({ keys }) => keys)).toEqual([
      ['head', 'verse', 'a'],
      ['chorus', 'b'],
    ]);
    expect(pageWith(pagesOf(rows, 130), 'b')).toBe(1);
    expect(pageWith(pagesOf(rows, 130), 'gone')).toBe(-1);
  });

  it('show every row once and in order, and cut none that is no higher than a page', () => {
    fc.assert(
      fc.property(sheets, fc.integer({ min: 60, max: 400 }), fc.nat(40), (rows, height, at) => {
        const fresh = at < rows.length ? String(at) : null;
        const pages = pagesOf(rows, height, fresh);
        expect(pages.flatMap(({ keys }) => keys)).toEqual(rows.map(({ key }) => key));
        if (fresh !== null) expect(pages.some(({ keys }) => keys[0] === fresh)).toBe(true);
        for (const { top, bottom, keys } of pages) {
          if (keys.length > 1) expect(bottom - top).toBeLessThanOrEqual(height);
          for (const key of keys) {
            const { top: from, bottom: to } = itemAt(rows, Number(key));
            expect(from).toBeGreaterThanOrEqual(top);
            expect(to).toBeLessThanOrEqual(bottom);
          }
        }
      }),
      { numRuns: 200 },
    );
  });

  it('keep together what stands side by side', () => {
    const rows = rowsOf([row('bar 2', 3, 50), row('bar 1', 0, 50), row('bar 3', 60, 110)]);
    expect(rows.map(({ key, top, bottom }) => [key, top, bottom])).toEqual([
      ['bar 1', 0, 50],
      ['bar 3', 60, 110],
    ]);
  });
});
