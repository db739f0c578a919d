import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { painted, round } from '@/app/board/painted';
import type { Instruction } from '@/lib/parts';

const sign = (text: string, x: number, y: number, clear = 0): Instruction => ({
  ...{ kind: 'text', text, x, y, clear, size: 10 },
  ...{ anchor: 'middle', face: 'plain', tone: 'ink' },
});
const string = (y: number, pen: 'faint' | 'ink' = 'faint'): Instruction => ({
  ...{ kind: 'line', x1: 0, x2: 60, y1: y, y2: y, pen },
});

/** Signs of one unit, words, and one that takes two units of UTF-16. */
const texts = fc.constantFrom('3', '0', 'D', '12', 'Am7', '\u{E610}', '\u{1D15F}', ' ');
const place = fc.double({ min: -50, max: 900, noNaN: true });
const instruction: fc.Arbitrary<Instruction> = fc.oneof(
  fc.record({
    kind: fc.constant('text' as const),
    ...{ x: place, y: place, text: texts, size: fc.constantFrom(9, 12.5) },
    anchor: fc.constantFrom('start' as const, 'middle' as const),
    face: fc.constantFrom('plain' as const, 'strong' as const, 'music' as const),
    tone: fc.constantFrom('ink' as const, 'quiet' as const),
    clear: fc.constantFrom(0, 7),
  }),
  fc.record({
    kind: fc.constant('line' as const),
    ...{ x1: place, y1: place, x2: place, y2: place },
    pen: fc.constantFrom('faint' as const, 'ink' as const),
  }),
  fc.record({ kind: fc.constant('arc' as const), x1: place, x2: place, y: place, height: place }),
);

describe('what is painted of a drawing', () => {
  // SVG 2, 11.4 (W3C): the n-th value of a text's x and y is where its n-th addressable character stands.
  it('is a path to a pen, the paper behind numbers, and one text of all signs that are alike', () => {
    expect(
      painted([string(0), string(9), sign('3', 10, 4, 6), sign('0', 30, 13, 6), sign('12', 50, 4)]),
    ).toEqual([
      { kind: 'lines', pen: 'faint', path: 'M0 0L60 0M0 9L60 9' },
      { kind: 'paper', path: 'M7 -3.4h6v7.8h-6zM27 5.6h6v7.8h-6z' },
      {
        kind: 'texts',
        text: '30',
        x: '10 30',
        y: '4 13',
        size: 10,
        anchor: 'middle',
        face: 'plain',
        tone: 'ink',
      },
      { kind: 'texts', text: '12', x: '50', y: '4', size: 10, anchor: 'middle', face: 'plain', tone: 'ink' },
    ]);
  });

  it('keeps a line over the number that it was drawn over', () => {
    expect(painted([string(0), sign('3', 10, 4, 6), string(4, 'ink')]).map(({ kind }) => kind)).toEqual([
      'lines',
      'paper',
      'texts',
      'lines',
    ]);
  });

  it('leaves each text and each line where it was drawn', () => {
    fc.assert(
      fc.property(fc.array(instruction, { maxLength: 30 }), (drawing) => {
        const all = painted(drawing);
        const shown = all.flatMap((one) => {
          if (one.kind !== 'texts') return [];
          const xs = one.x.split(' ');
          const ys = one.y.split(' ');
          expect(ys.length).toBe(xs.length);
          const letters =
            xs.length === 1 ? [one.text] : Array.from({ length: one.text.length }, (_, i) => one.text[i]);
          expect(letters.length).toBe(xs.length);
          return letters.map((text, i) =>
            [text, xs[i], ys[i], one.size, one.face, one.tone, one.anchor].join('|'),
          );
        });
        const meant = drawing.flatMap((one) =>
          one.kind === 'text'
            ? [[one.text, round(one.x), round(one.y), one.size, one.face, one.tone, one.anchor].join('|')]
            : [],
        );
        expect(shown.sort()).toEqual(meant.sort());
        const count = (kind: Instruction['kind']) => drawing.filter((one) => one.kind === kind).length;
        const strokes = all.flatMap((one) => (one.kind === 'lines' ? one.path.split('M').slice(1) : []));
        expect(strokes.length).toBe(count('line'));
        expect(all.filter(({ kind }) => kind === 'arc').length).toBe(count('arc'));
        const papers = all.flatMap((one) => (one.kind === 'paper' ? one.path.split('M').slice(1) : []));
        expect(papers.length).toBe(drawing.filter((one) => one.kind === 'text' && one.clear > 0).length);
      }),
    );
  });
});
