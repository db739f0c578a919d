import type { Drawing, Instruction } from '../../lib/parts';

type Of<Kind extends Instruction['kind']> = Extract<Instruction, { kind: Kind }>;
type Text = Of<'text'>;

/** What one element of the page paints: lines in one path, the paper behind numbers in another, signs in one text. */
export type Painted =
  | { readonly kind: 'lines'; readonly pen: Of<'line'>['pen']; readonly path: string }
  | { readonly kind: 'paper'; readonly path: string }
  | (Pick<Text, 'text' | 'size' | 'anchor' | 'face' | 'tone'> & {
      readonly kind: 'texts';
      /** Where each of its characters stands; where it is one word, its first. */
      readonly x: string;
      readonly y: string;
    })
  | Of<'arc'>;

/**
 * A drawing in as few elements as show it alike: a browser takes longer for each element than for what is in it. What is drawn over
 * what stays: only neighbours of one kind are painted together, and of those, the paper behind texts before the texts.
 */
export function painted(drawing: Drawing): readonly Painted[] {
  const found: Painted[] = [];
  for (let from = 0; from < drawing.length; ) {
    const kind = drawing[from]?.kind;
    let to = from + 1;
    while (drawing[to]?.kind === kind) to += 1;
    const run = drawing.slice(from, to);
    found.push(...linesIn(run), ...textsIn(run), ...run.filter((one) => one.kind === 'arc'));
    from = to;
  }
  return found;
}

function linesIn(run: Drawing): readonly Painted[] {
  const lines = run.filter((one) => one.kind === 'line');
  return grouped(lines, ({ pen }) => pen).map((all) => ({
    kind: 'lines' as const,
    pen: all[0].pen,
    path: all.map(({ x1, y1, x2, y2 }) => `M${round(x1)} ${round(y1)}L${round(x2)} ${round(y2)}`).join(''),
  }));
}

function textsIn(run: Drawing): readonly Painted[] {
  const texts = run.filter((one) => one.kind === 'text');
  const paper = texts
    .filter(({ clear }) => clear > 0)
    .map(
      ({ x, y, size, clear }) =>
        `M${round(x - clear / 2)} ${round(y - size * 0.74)}h${round(clear)}v${round(size * 0.78)}h${round(-clear)}z`,
    )
    .join('');
  // Characters can stand each in its place within one text; a word keeps its letters together in a text of its own.
  const groups = grouped(texts, ({ text, size, anchor, face, tone }, i) =>
    [size, anchor, face, tone, isOne(text) ? '' : i].join(),
  );
  return [
    ...(paper === '' ? [] : [{ kind: 'paper' as const, path: paper }]),
    ...groups.map((all) => {
      const { size, anchor, face, tone } = all[0];
      return {
        kind: 'texts' as const,
        ...{ size, anchor, face, tone },
        text: all.map(({ text }) => text).join(''),
        x: all.map(({ x }) => round(x)).join(' '),
        y: all.map(({ y }) => round(y)).join(' '),
      };
    }),
  ];
}

/** Places are counted in UTF-16 units, and white space is not counted as it is written. */
const isOne = (text: string): boolean => text.length === 1 && text.trim() !== '';

/** Those that are alike together, in the order of their firsts. */
function grouped<T>(
  all: readonly T[],
  by: (one: T, index: number) => string,
): readonly (readonly [T, ...T[]])[] {
  const groups = new Map<string, [T, ...T[]]>();
  all.forEach((one, i) => {
    const key = by(one, i);
    const group = groups.get(key);
    if (group) group.push(one);
    else groups.set(key, [one]);
  });
  return [...groups.values()];
}

/** Tenths of a pixel are as fine as a screen or a printer shows. */
export const round = (value: number): number => Math.round(value * 10) / 10;
