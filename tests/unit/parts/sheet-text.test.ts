import { expect, test } from 'vitest';
import { layText } from '@/lib/parts/sheet/text';

/** Every sign is one unit wide: what goes into a line can be counted. */
const measure = (text: string): number => [...text].length;

const linesOf = (text: string, width: number): readonly string[] => {
  const { drawing } = layText(
    { runs: [{ text, face: 'plain' }], size: 10, leading: 1, tone: 'ink', label: null, indent: 0 },
    width,
    measure,
  );
  return drawing.flatMap((each) => (each.kind === 'text' ? [each.text] : []));
};

test('a text breaks between words, and not at a no-break space', () => {
  expect(linesOf('played at a = 208', 13)).toEqual(['played at a =', '208']);
  // Source: Unicode Standard Annex 14, class GL: no break before or after U+00A0.
  expect(linesOf('played at a\u00a0=\u00a0208', 13)).toEqual(['played at', 'a\u00a0=\u00a0208']);
});
